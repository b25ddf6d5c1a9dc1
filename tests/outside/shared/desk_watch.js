// Reads the clock of a desk's page, from a key to the page that comes of it. A function: what runs it gets
// `globalThis.times`, of the last key.
//
//   key       the key goes down; until `typed` the browser changes its text area
//   typed     the page is told of it, before it does anything
//   sent      what was typed is on its way
//   answered  what it came to is here
//   page      the first new page stands in the document
//   laid      the browser has worked out its styles and places: all that is left is to paint
//   drawn     the first frame after that was drawn
() => {
  const { editor, pages, host } = desk;
  globalThis.times = {};
  const mark = (name) => { times[name] ??= performance.mark(name).startTime; };
  addEventListener("keydown", (event) => {
    performance.mark("key");
    globalThis.times = { key: event.timeStamp };
  }, true);
  document.addEventListener("input", (event) => { if (event.target === editor.area) mark("typed"); }, true);
  const ask = host.ask.bind(host);
  host.ask = async (wanted) => {
    if (wanted.ask !== "edit") return ask(wanted);
    mark("sent");
    const answer = await ask(wanted);
    mark("answered");
    return answer;
  };
  pages.onput = (page) => {
    if (!times.answered || times.laid) return;
    mark("page");
    pages.hosts[page].shadowRoot.firstElementChild.getBoundingClientRect();
    document.body.getBoundingClientRect();
    mark("laid");
    performance.measure("own", "typed", "laid");
    const own = times;
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => { own.drawn = performance.now(); };
    requestAnimationFrame(() => port2.postMessage(null));
  };
}
