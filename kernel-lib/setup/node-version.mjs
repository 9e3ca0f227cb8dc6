// Kept in plain old JavaScript on purpose: it must run, and say its sentence, on any Node.
const [major, minor] = process.versions.node.split('.').map(Number);
if (major < 20 || major === 21 || (major === 20 && minor < 19) || (major === 22 && minor < 12)) {
  console.error(
    `multislit needs Node.js 20.19 or newer (of 22: 22.12 or newer); this is ${process.versions.node}. Install the version that the Node.js download page recommends for most users (LTS), then try again.`,
  );
  process.exit(1);
}
