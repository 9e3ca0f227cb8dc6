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

/** Every formula of the sheets' own texts, set when the page is built: see setup/bundles.mjs. */
declare module 'formulas-ahead' {
  const formulas: import('./page/text/markdown').Formulas;
  export default formulas;
}
