/** Tables are imported as text; the bundler and the test runner both do so. */
declare module '*.csv' {
  const text: string;
  export default text;
}
declare module '*.css' {
  const text: string;
  export default text;
}
/** WebAssembly is imported as base64. */
declare module '*.wasm' {
  const base64: string;
  export default base64;
}
declare module '*.svg' {
  const text: string;
  export default text;
}
