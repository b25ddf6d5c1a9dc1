// A file that is made on the desk is handed to the browser.

const KEPT = 60_000; // Milliseconds until the browser has taken the file.

/** Hands a file to the browser under a name. */
export function download(blob, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), KEPT);
}
