// The engraved pages. A page is drawn when it comes near to what is seen; each stands in a tree of its own,
// so that the names in one are not those in another.

const STYLE = `
  svg { display: block; width: 100%; height: auto; }
  .note, .bar, .system { cursor: pointer; }
  .here { fill: var(--here); color: var(--here); }
  .lit { fill: var(--lit); color: var(--lit); }
  .cursor { fill: var(--lit); opacity: 0.45; pointer-events: none; }
  @media (forced-colors: active) { .here, .lit, .cursor { fill: Highlight; color: Highlight; } }
  @media (prefers-reduced-motion: reduce) { .cursor { display: none; } }
`;

export class Pages {
  /** Takes an element to fill, `fetch(page)` for the SVG of a page, and `clicked(file, line, column)`. */
  constructor(root, { fetch, clicked }) {
    this.root = root;
    this.fetch = fetch;
    this.clicked = clicked;
    this.hosts = [];
    this.ratio = 297 / 210;
    this.marked = [];
    this.lit = [];
    this.observer = new IntersectionObserver((entries) => this.observed(entries), {
      root, rootMargin: "600px",
    });
  }

  /**
   * Takes what an edit came to: how many pages, and those as SVG of the ones asked for that are not as they were.
   * The others may tell other places of the text, and are asked for when they are near.
   */
  update({ pages, svg, size }, asked = []) {
    if (size) this.ratio = size[1] / size[0];
    while (this.hosts.length > pages) {
      const host = this.hosts.pop();
      this.observer.unobserve(host);
      host.remove();
    }
    this.root.querySelector(".none")?.remove();
    while (this.hosts.length < pages) this.hosts.push(this.host(this.hosts.length));
    for (const host of this.hosts) if (!asked.includes(host.page)) host.stale = true;
    for (const [page, text] of Object.entries(svg)) this.put(Number(page), text);
    for (const host of this.hosts) if (host.near && host.stale) this.load(host.page);
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
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(STYLE);
    host.shadowRoot.adoptedStyleSheets = [sheet];
    host.shadowRoot.addEventListener("click", (event) => this.click(event));
    this.observer.observe(host);
    return host;
  }

  observed(entries) {
    for (const { target, isIntersecting } of entries) {
      target.near = isIntersecting;
      if (isIntersecting && target.stale) this.load(target.page);
    }
  }

  /** Pages that are near to what is seen. */
  near() {
    return this.hosts.filter((host) => host.near).map((host) => host.page);
  }

  async load(page) {
    const host = this.hosts[page];
    if (!host) return;
    host.stale = false;
    const svg = await this.fetch(page);
    if (svg !== null && this.hosts[page] === host && !host.stale) this.put(page, svg);
  }

  put(page, svg) {
    const host = this.hosts[page];
    if (!host) return;
    host.stale = false;
    // As XML, in which no script is run; the page's policy forbids it besides.
    const drawn = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
    const box = drawn.viewBox.baseVal;
    if (box && box.width > 0) host.style.aspectRatio = `${box.width} / ${box.height}`;
    host.shadowRoot.replaceChildren(document.adoptNode(drawn));
    this.onput?.(page);
  }

  click(event) {
    const placed = event.composedPath().find((node) => node.dataset?.line !== undefined);
    if (!placed) return;
    const { file, line, column } = placed.dataset;
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

  /** The groups of a block that is written in lines from one to another of a file. */
  blocks(file, from, to) {
    const all = this.hosts.flatMap((host) => [...host.shadowRoot.querySelectorAll(".block")]);
    return all.filter((block) => this.stands(block, file, from, to));
  }

  /** What a page is drawn in; null where it is not drawn. */
  svg(page) {
    return this.hosts[page]?.shadowRoot.querySelector("svg") ?? null;
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
    const [own, seen] = [first.getBoundingClientRect(), this.root.getBoundingClientRect()];
    if (own.top < seen.top || own.bottom > seen.bottom) first.scrollIntoView({ block: "center" });
  }
}
