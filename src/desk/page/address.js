// A text in an address, after `#`: the name of its file and the text, deflated (RFC 1951), in letters that an
// address may have (base64url, RFC 4648). What stands there is never sent to a server.

const MOST = 4 * 1024 * 1024; // Bytes of a text that is read from an address.
const STEP = 0x8000; // Bytes that are made letters at once.

/** A name and a text as what follows `#`. */
export async function packed({ name, text }) {
  const stream = new Blob([`${name}\n${text}`]).stream().pipeThrough(new CompressionStream("deflate-raw"));
  const bytes = new Uint8Array(await new Response(stream).arrayBuffer());
  let letters = "";
  for (let at = 0; at < bytes.length; at += STEP) letters += String.fromCharCode(...bytes.subarray(at, at + STEP));
  return btoa(letters).replaceAll("+", "-").replaceAll("/", "_").replace(/=+$/, "");
}

/** The name and the text of what follows `#`; an error where it holds none. */
export async function unpacked(hash) {
  const letters = atob(hash.replaceAll("-", "+").replaceAll("_", "/"));
  const bytes = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
  const whole = await inflated(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw")));
  const end = whole.indexOf("\n");
  if (end < 0) throw new Error("there is no name");
  return { name: whole.slice(0, end), text: whole.slice(end + 1) };
}

/** The text of a stream; few letters of an address can stand for a text that is larger than any memory. */
async function inflated(stream) {
  const reader = stream.getReader();
  const parts = [];
  let size = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    size += value.length;
    if (size > MOST) throw new Error("the text is too long");
    parts.push(value);
  }
  const bytes = await new Blob(parts).arrayBuffer();
  return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
}
