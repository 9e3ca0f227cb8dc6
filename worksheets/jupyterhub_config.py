# JupyterHub for a class: every student an account of this machine, in the group `optics`, with a home folder
# that nobody else can open. This file lies in a folder of its own, beside what is installed once for all:
#
#   program/   what `multislit hand-out` made, with its packages: sheets and kernel, nothing of any key
#   jupyter/   the kernelspec, by `multislit kernel install --dir`
#   state/     the hub's own: made below, closed to all others
#
# The keys, the returns and the marks belong into a closed folder of yours, best on another machine.
import os
import pathlib
import pwd
import subprocess
import sys

c = get_config()  # noqa: F821
here = pathlib.Path(__file__).resolve().parent
state = here / 'state'
state.mkdir(mode=0o700, exist_ok=True)

# On this machine only: a web server in front of it brings https.
c.JupyterHub.bind_url = 'http://127.0.0.1:8000'
c.JupyterHub.db_url = f'sqlite:///{state}/hub.sqlite'
c.JupyterHub.cookie_secret_file = f'{state}/cookie_secret'
c.ConfigurableHTTPProxy.pid_file = f'{state}/proxy.pid'
# Debian's proxy finds its packages only where Debian's own Node looks; another Node has to be told.
os.environ.setdefault('NODE_PATH', '/usr/share/nodejs')

# The machine's own passwords. Only members of the group come in.
c.JupyterHub.authenticator_class = 'pam'
c.LocalAuthenticator.allowed_groups = {'optics'}

# Each server runs as the student's own account: what others may not read is kept by the machine itself.
c.JupyterHub.spawner_class = 'jupyterhub.spawner.LocalProcessSpawner'
c.Spawner.notebook_dir = '~/optics'
c.Spawner.environment = {
    'JUPYTER_PATH': str(here / 'jupyter'),
    # Debian's Notebook, whatever else is installed.
    'JUPYTERHUB_SINGLEUSER_APP': 'notebook.notebookapp.NotebookApp',
}
# A kernel that nobody has used for an hour gives its memory back.
c.Spawner.args = ['--MappingKernelManager.cull_idle_timeout=3600']

COPY = '''
import pathlib, shutil, sys
folder = pathlib.Path.home() / 'optics'
folder.mkdir(exist_ok=True)
for sheet in pathlib.Path(sys.argv[1]).glob('*/sheet.ipynb'):
    mine = folder / f'{sheet.parent.name}.ipynb'
    if not mine.exists():
        shutil.copyfile(sheet, mine)
'''


def lay_out_sheets(spawner):
    """Give a student the sheets that are not there yet, with the student's own rights."""
    account = pwd.getpwnam(spawner.user.name)
    subprocess.run(
        [sys.executable, '-c', COPY, str(here / 'program' / '.build' / 'worksheets')],
        user=account.pw_uid,
        group=account.pw_gid,
        extra_groups=[],
        umask=0o077,
        cwd='/',
        env={'HOME': account.pw_dir},
        check=True,
    )


c.Spawner.pre_spawn_hook = lay_out_sheets
