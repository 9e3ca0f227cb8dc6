// Kept in plain old JavaScript on purpose: it must run, and say its sentence, on any Node.
const [major, minor] = process.versions.node.split('.').map(Number);
if (major < 20 || (major === 20 && minor < 17)) {
  console.error(
    `multislit needs Node.js 20.17 or newer; this is ${process.versions.node}. Install a newer one from your system's packages or the Node.js download page, then try again.`,
  );
  process.exit(1);
}
