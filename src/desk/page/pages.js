// The engraved pages. A page is drawn when it comes near to what is seen; each stands in a tree of its own,
// so that the names in one are not those in another.

const STYLE = `
  svg { display: block; width: 100%; height: auto; }
  .note, .bar, .system { cursor: pointer; }
  .here { fill: var(--here); color: var(--here); }
  .lit, .lit .here { fill: var(--lit); color: var(--lit); }
  .cursor { fill: var(--lit); opacity: 0.45; pointer-events: none; }
  @media (forced-colors: active) { .here, .lit, .lit .here, .cursor { fill: Highlight; color: Highlight; } }
  @media (prefers-reduced-motion: reduce) { .cursor { display: none; } }
`;

/** The outermost element of an SVG: read as XML, in which no script is run; the page's policy forbids it besides. */
function parsed(svg) {
  return new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
}

/** Puts parts in place of others, one after another: outlines of signs, or what stands on the page. */
function replace(svg, replaced) {
  const within = {
    defs: [...svg.children].find((own) => own.localName === "defs"),
    page: [...svg.children].find((own) => own.classList.contains("page")),
  };
  for (const { within: name, at, gone, put } of replaced) {
    const parent = within[name];
    for (const element of [...parent.children].slice(at, at + gone)) {
      // The line end goes with its element.
      if (element.nextSibling?.nodeType === Node.TEXT_NODE) element.nextSibling.remove();
      element.remove();
    }
    const after = parent.children[at] ?? null;
    const parts = document.createDocumentFragment();
    parts.append(...parsed(`<svg xmlns="http://www.w3.org/2000/svg">${put}</svg>`).childNodes);
    parent.insertBefore(parts, after);
  }
}

const PASSING = 60; // Milliseconds in which a page that only passes by has passed.
const KEPT = 4; // Pages that stay drawn, however far away.

// One for all pages.
const SHEET = new CSSStyleSheet();
SHEET.replaceSync(STYLE);

export class Pages {
  /**
   * Takes an element to fill, `fetch(page)` for a page as it is sent, `old(pages)`, told which of those near are not
   * as they should be, and `clicked(file, line, column)`.
   */
  constructor(root, { fetch, old, clicked }) {
    this.root = root;
    this.fetch = fetch;
    this.old = old;
    this.clicked = clicked;
    this.hosts = [];
    this.ratio = 297 / 210;
    this.marked = [];
    this.lit = [];
    this.block = null; // What the block is known by in which was clicked.
    this.observer = new IntersectionObserver((entries) => this.observed(entries), {
      root, rootMargin: "600px",
    });
    this.sight = new IntersectionObserver((entries) => {
      for (const { target, isIntersecting } of entries) target.seen = isIntersecting;
    }, { root });
  }

  /**
   * Takes what an edit came to: how many pages, and those of the ones asked for that are not as they were. The
   * others may tell other places of the text, and are asked for when they are near.
   */
  update({ pages, sent, size }, asked = []) {
    if (size) this.ratio = size[1] / size[0];
    while (this.hosts.length > pages) {
      const host = this.hosts.pop();
      this.observer.unobserve(host);
      this.sight.unobserve(host);
      host.remove();
    }
    this.root.querySelector(".none")?.remove();
    while (this.hosts.length < pages) this.hosts.push(this.host(this.hosts.length));
    for (const host of this.hosts) if (!asked.includes(host.page)) host.stale = true;
    for (const [page, own] of Object.entries(sent)) this.take(Number(page), own);
    const near = this.hosts.filter((host) => host.near && host.stale);
    for (const host of near) if (host.number === undefined) this.load(host.page);
    const old = near.filter((host) => host.number !== undefined).map((host) => host.page);
    if (old.length > 0) this.old(old);
    if (pages === 0) {
      const none = this.root.appendChild(document.createElement("p"));
      none.className = "none";
      none.textContent = "A page appears here as soon as there is something to engrave.";
    }
  }

  host(page) {
    const host = this.root.appendChild(document.createElement("div"));
    host.className = "page";
    host.page = page;
    host.stale = true;
    host.near = false;
    host.style.aspectRatio = `1 / ${this.ratio}`;
    host.attachShadow({ mode: "open" });
    host.shadowRoot.adoptedStyleSheets = [SHEET];
    host.shadowRoot.addEventListener("click", (event) => this.click(event));
    this.observer.observe(host);
    this.sight.observe(host);
    return host;
  }

  observed(entries) {
    for (const { target, isIntersecting } of entries) {
      target.near = isIntersecting;
      // Painted by itself, so that a key in the text has no page painted again.
      target.style.willChange = isIntersecting ? "transform" : "";
      if (!isIntersecting) this.drop(target);
      // Not one that only passes by.
      else if (target.stale) setTimeout(() => { if (target.near && target.stale) this.load(target.page); }, PASSING);
    }
  }

  /** Lets go of a page that is far away, where many are drawn: each takes the browser's time at every key. */
  drop(host) {
    if (host.number === undefined || this.hosts.filter((own) => own.number !== undefined).length <= KEPT) return;
    host.shadowRoot.replaceChildren();
    host.number = undefined;
    host.stale = true;
  }

  /** Takes those of some pages that are not as they were. */
  renewed(pages, sent) {
    for (const page of pages) if (this.hosts[page]) this.hosts[page].stale = false;
    for (const [page, own] of Object.entries(sent)) this.take(Number(page), own);
    for (const host of this.hosts) if (host.near && host.stale && host.number === undefined) this.load(host.page);
  }

  /** Pages that are seen and were drawn. */
  seen() {
    return this.hosts.filter((host) => host.seen && host.number !== undefined).map((host) => host.page);
  }

  /** Draws a page that is still near when it comes, or wherever it is. */
  async load(page, anywhere = false) {
    const host = this.hosts[page];
    if (!host) return;
    host.stale = false;
    const sent = await this.fetch(page);
    if (sent === null || this.hosts[page] !== host) return;
    if (host.near || anywhere) this.take(page, sent);
    else host.stale = true;
  }

  /** Takes a page as it is sent: all of it, or parts in place of those of the page that is here. */
  take(page, { number, svg, of, replaced }) {
    const host = this.hosts[page];
    if (!host) return;
    if (svg === undefined && host.number !== of) {
      // Another page of the browser has what this one has not.
      host.number = undefined;
      host.stale = true;
      return;
    }
    this.onold?.(page);
    if (svg === undefined) replace(host.shadowRoot.firstElementChild, replaced ?? []);
    else this.put(host, svg);
    host.number = number;
    host.stale = false;
    this.onput?.(page);
  }

  put(host, svg) {
    const drawn = parsed(svg);
    const box = drawn.viewBox.baseVal;
    if (box && box.width > 0) host.style.aspectRatio = `${box.width} / ${box.height}`;
    host.shadowRoot.replaceChildren(document.adoptNode(drawn));
  }

  click(event) {
    const placed = event.composedPath().find((node) => node.dataset?.line !== undefined);
    if (!placed) return;
    const { file, line, column } = placed.dataset;
    this.block = placed.closest(".block")?.getAttribute("aria-label") ?? null;
    this.clicked(file === undefined ? 0 : Number(file), Number(line), Number(column));
  }

  /** Marks what stands in a line at a column or nearest before it; whether any is there. */
  mark(line, column) {
    for (const element of this.marked) element.classList.remove("here");
    this.marked = [];
    let [best, found] = [0, []];
    for (const host of this.hosts) {
      const own = host.shadowRoot.querySelectorAll(`[data-line="${line}"]:not([data-file]):not(.bar, .system)`);
      for (const element of own) {
        const at = Number(element.dataset.column);
        if (at > column || at < best) continue;
        if (at > best) found = [];
        best = at;
        found.push(element);
      }
    }
    // Another cell lies between, or nothing but what the line begins with was found.
    this.marked = found;
    for (const element of found) element.classList.add("here");
    return found.length > 0;
  }

  /** Shows a page, where what is marked is not seen. */
  follow(page) {
    const host = this.hosts[page];
    if (!host) return;
    const [own, seen] = [host.getBoundingClientRect(), this.root.getBoundingClientRect()];
    const shown = Math.min(own.bottom, seen.bottom) - Math.max(own.top, seen.top);
    if (shown < Math.min(own.height, seen.height) / 3) host.scrollIntoView({ block: "start" });
  }

  /** Shows what is marked. */
  showMarked() {
    const [first] = this.marked;
    if (!first) return;
    const [own, seen] = [first.getBoundingClientRect(), this.root.getBoundingClientRect()];
    if (own.top < seen.top || own.bottom > seen.bottom) first.scrollIntoView({ block: "center" });
  }

  /**
   * The groups of a block that is heard, on the pages that are drawn: those it was told to be, or where nobody knows
   * them any more, those of what it is known by that are written in its lines.
   */
  blocks({ name, blocks }, { file, from, to }) {
    const all = (page) => [...this.hosts[page].shadowRoot.querySelectorAll(".block")];
    if (blocks.length > 0) {
      return blocks.flatMap(([page, nth]) => (this.hosts[page] ? all(page).slice(nth, nth + 1) : []));
    }
    const is = (block) => block.getAttribute("aria-label") === name && this.stands(block, file, from, to);
    return this.hosts.flatMap((_, page) => all(page)).filter(is);
  }

  /** What a page is drawn in, on which music moves; one that is not drawn is brought into sight, so that it will be. */
  svg(page) {
    const host = this.hosts[page];
    const svg = host?.shadowRoot.querySelector("svg") ?? null;
    if (host && !svg && !host.near) host.scrollIntoView({ block: "start" });
    return svg;
  }

  /** Whether a block is written in lines from one to another of a file, by the first place that it tells. */
  stands(block, file, from, to) {
    const own = (element) => (element.dataset.file === undefined ? 0 : Number(element.dataset.file)) === file;
    const placed = block.matches("[data-line]") ? block : block.querySelector("[data-line]");
    const line = Number(placed?.dataset.line);
    return placed !== null && own(placed) && line >= from && line <= to;
  }

  /** Lights notes and puts out those that were lit before. */
  light(elements) {
    if (elements.length === this.lit.length && elements.every((own, nth) => own === this.lit[nth])) return;
    for (const element of this.lit) element.classList.remove("lit");
    for (const element of elements) element.classList.add("lit");
    this.lit = elements;
    const [first] = elements;
    if (!first) return;
    // The whole line of music is seen, or the note alone where there is no room for it.
    const [line, seen] = [first.closest(".system") ?? first, this.root.getBoundingClientRect()];
    const shown = line.getBoundingClientRect().height > seen.height ? first : line;
    const own = shown.getBoundingClientRect();
    if (own.top < seen.top || own.bottom > seen.bottom) shown.scrollIntoView({ block: "center" });
  }
}
