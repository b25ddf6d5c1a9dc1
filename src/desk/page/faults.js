// What is wrong with the text, in words, with what mends it.

export class Faults {
  /** Takes an element to fill, `go(from, to)` and `mend(mend)`. */
  constructor(root, { go, mend }) {
    this.root = root;
    this.go = go;
    this.mend = mend;
    this.told = "";
  }

  show(findings) {
    const told = JSON.stringify(findings);
    if (told === this.told) return;
    this.told = told;
    const count = document.createElement("p");
    count.setAttribute("role", "status");
    count.textContent = findings.length === 0 ? "Nothing is wrong." : this.counted(findings);
    const list = document.createElement("ol");
    list.append(...findings.slice(0, 200).map((found) => this.item(found)));
    this.root.replaceChildren(count, ...(findings.length > 0 ? [list] : []));
  }

  counted(findings) {
    const errors = findings.filter((found) => found.severity === "error").length;
    const warnings = findings.length - errors;
    const words = (count, one) => `${count} ${one}${count === 1 ? "" : "s"}`;
    const parts = [];
    if (errors > 0) parts.push(words(errors, "fault"));
    if (warnings > 0) parts.push(words(warnings, "warning"));
    const stale = errors > 0 ? "; the pages are those of the text when it was last without one" : "";
    return `${parts.join(", ")}${stale}`;
  }

  item(found) {
    const item = document.createElement("li");
    item.className = found.severity;
    const place = item.appendChild(document.createElement("button"));
    place.type = "button";
    place.className = "place";
    place.textContent = `${found.file ? `${found.file}, ` : ""}line ${found.line}`;
    place.addEventListener("click", () => this.go(found));
    const said = item.appendChild(document.createElement("span"));
    said.className = "said";
    said.textContent = found.message;
    if (found.mend) {
      const mend = item.appendChild(document.createElement("button"));
      mend.type = "button";
      mend.textContent = "Mend";
      mend.title = found.mend.title;
      mend.setAttribute("aria-label", `Mend: ${found.mend.title}`);
      mend.addEventListener("click", () => this.mend(found.mend));
    }
    return item;
  }
}
