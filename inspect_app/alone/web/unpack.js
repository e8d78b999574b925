// The program's archive laid into Python's file system: a zip of stored files, all of it squeezed once with gzip.
// The browser does that faster than Python in it could, and meanwhile Python is loading.
const LOCAL = 0x04034b50;            // a file's head, as the zip format's description (APPNOTE, 4.3.7) has it

export async function unsqueezed(packed) {
  return new Response(new Blob([packed]).stream().pipeThrough(new DecompressionStream('gzip'))).arrayBuffer();
}

export function unpack(FS, archive, into) {
  const view = new DataView(archive), folders = new Set();
  for (let at = 0; view.getUint32(at, true) === LOCAL;) {
    const size = view.getUint32(at + 18, true), named = view.getUint16(at + 26, true), more = view.getUint16(at + 28, true);
    const path = `${into}/${new TextDecoder().decode(new Uint8Array(archive, at + 30, named))}`;
    const folder = path.slice(0, path.lastIndexOf('/')), begins = at + 30 + named + more;
    if (!folders.has(folder)) { FS.mkdirTree(folder); folders.add(folder); }
    FS.writeFile(path, new Uint8Array(archive, begins, size), {canOwn: true});
    at = begins + size;
  }
}
