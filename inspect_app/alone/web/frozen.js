// Python's memory as `site/freeze.mjs` kept it, put in place of a beginning of its own.
const MORE = 4_000_000;

export function thawed(loadPyodide, createPyodideModule, kept) {
  const memory = new Uint8Array(kept);
  return loadPyodide({
    _loadSnapshot: memory,
    async createPyodideModule(settings) {
      const made = await createPyodideModule(settings);
      while (made.HEAP8.length < memory.length) made._malloc(MORE);  // what it takes is overwritten
      return made;
    },
  });
}
