// Files that a person chooses: read, and written where the browser lets a page write (File System Access).

import { download } from "./download.js";

const KINDS = [{ description: "Drum text", accept: { "text/plain": [".flam", ".txt"] } }];
const MARK = "\ufeff";

/** Asks for a file and reads it; nothing where none is chosen. */
export async function choose() {
  if (!globalThis.showOpenFilePicker) return chosen();
  try {
    const [handle] = await showOpenFilePicker({ types: KINDS });
    return await read(await handle.getFile(), handle);
  } catch (error) {
    if (error.name === "AbortError") return null;
    throw error;
  }
}

/** The same where a page is given files and no places to write them. */
function chosen() {
  const input = Object.assign(document.createElement("input"), { type: "file", accept: ".flam,.txt,text/plain" });
  return new Promise((done, failed) => {
    input.addEventListener("cancel", () => done(null));
    input.addEventListener("change", () => read(input.files[0], null).then(done, failed));
    input.click();
  });
}

/** The text of a file as the desk holds it, with one kind of line end, and how it lies in the file. */
export async function read(file, handle) {
  const decoder = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
  const whole = decoder.decode(await file.arrayBuffer());
  const marked = whole.startsWith(MARK);
  const bare = marked ? whole.slice(1) : whole;
  const count = (what) => bare.split(what).length - 1;
  const wide = count("\r\n") * 2 > count("\n");
  const text = bare.replace(/\r\n?/g, "\n");
  return { name: file.name, text, place: { handle, marked, wide, seen: file.lastModified } };
}

/** A text as it lies in its file. */
function laid(text, { marked, wide }) {
  return new Blob([marked ? MARK : "", wide ? text.replaceAll("\n", "\r\n") : text], { type: "text/plain" });
}

/** Whether another program wrote a file since it was read or written here. */
export async function changed({ handle, seen }) {
  return handle !== null && (await handle.getFile()).lastModified !== seen;
}

/** Writes a text; where it lies then, or nothing where a person chose no place. */
export async function write(text, name, place) {
  const handle = place.handle ?? (await chosenPlace(name));
  if (handle === null) return null;
  if (handle === undefined) {
    download(laid(text, place), name);
    return { name, place };
  }
  const stream = await handle.createWritable();
  await stream.write(laid(text, place));
  await stream.close();
  return { name: handle.name, place: { ...place, handle, seen: (await handle.getFile()).lastModified } };
}

/** Where to write; nothing where nowhere was chosen, and undefined where a page can't write. */
async function chosenPlace(name) {
  if (!globalThis.showSaveFilePicker) return undefined;
  try {
    return await showSaveFilePicker({ suggestedName: name, types: KINDS });
  } catch (error) {
    if (error.name === "AbortError") return null;
    throw error;
  }
}

/** How a text lies that is in no file yet. */
export const nowhere = () => ({ handle: null, marked: false, wide: false, seen: 0 });
