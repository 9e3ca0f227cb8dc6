"""Debian's jupyter_kernel_test against the multislit kernel.

Applies: kernel_info, stdout, stderr, completion, is_complete (all three states), error, execute_result,
display_data, inspect, clear_output; and by its client update_display_data and stdin. Every message is checked against that package's msgspec_v5.
Does not apply, and is skipped by the package for want of samples: pager (the kernel pages nothing) and
history (the kernel keeps none; an empty history_reply is tested elsewhere).
"""

import unittest

import jupyter_kernel_test


class MultislitKernelTests(jupyter_kernel_test.KernelTests):
    kernel_name = "multislit"
    language_name = "typescript"
    file_extension = ".ts"

    code_hello_world = "console.log('hello, world')"
    code_stderr = "console.error('oops')"
    completion_samples = [
        {"text": "(5).toF", "matches": ["toFixed"]},
        {"text": "import { fresnelInt } from 'multislit'"},
    ]
    complete_code_samples = ["1", "const a: number = 1;", "function f() {\n  return 1;\n}", "await f()"]
    incomplete_code_samples = ["function f() {", "const a = [1,", "`open", "/* open"]
    invalid_code_samples = ["const = 1", "1 +* 2", "f())"]
    code_generate_error = "throw new Error('x')"
    code_execute_result = [
        {"code": "6 * 7", "result": "42"},
        {"code": "await Promise.resolve([1, 2])", "result": "[ 1, 2 ]"},
        {
            "code": "import { asBundle } from 'multislit';\n({ [asBundle]: () => ({ 'text/html': '<b>a</b>', 'text/plain': 'a' }) })",
            "mime": "text/html",
            "result": "<b>a</b>",
        },
    ]
    code_display_data = [
        {
            "code": "import { patternPlot, show } from 'multislit';\nshow(patternPlot({ s: [-0.01, 0, 0.01], intensity: [0.1, 1, 0.1] }))",
            "mime": "text/html",
        }
    ]
    code_inspect_sample = "parseFloat"
    code_clear_output = "console.clear()"

    def test_update_display(self):
        self.flush_channels()
        code = "import { openDisplay } from 'multislit'; const p = openDisplay(); p.show('a'); p.show('b')"
        reply, output = self.execute_helper(code=code)
        self.assertEqual(reply["content"]["status"], "ok")
        shown = [m for m in output if m["msg_type"].endswith("display_data")]
        self.assertEqual(
            [(m["msg_type"], m["content"]["data"]["text/plain"]) for m in shown],
            [("display_data", "a"), ("update_display_data", "b")],
        )
        ids = {m["content"]["transient"]["display_id"] for m in shown}
        self.assertEqual(len(ids), 1)

    def test_stdin(self):
        self.flush_channels()
        code = "import { prompt } from 'multislit'; await prompt('Width?')"
        self.kc.execute(code, allow_stdin=True)
        asked = self.kc.get_stdin_msg(timeout=15)
        self.assertEqual(asked["msg_type"], "input_request")
        self.assertEqual(asked["content"], {"prompt": "Width?", "password": False})
        self.kc.input("40")
        reply = self.kc.get_shell_msg(timeout=15)
        self.assertEqual(reply["content"]["status"], "ok")


if __name__ == "__main__":
    unittest.main(verbosity=2)
