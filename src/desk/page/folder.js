// The texts of a folder: one is chosen, or begun.

const byId = (id) => document.getElementById(id);
const PATIENCE = 1500; // Milliseconds until the program is looked for again.
const GONE = "The program has stopped or does not answer; start it again.";

let unread = false; // Whether the folder could not be read when it was last looked at.

function say(words, wrong = false) {
  byId("state").textContent = words;
  byId("state").classList.toggle("wrong", wrong);
}

async function post(path, body) {
  const answer = await fetch(path, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
  });
  if (!answer.ok) throw new Error(answer.statusText);
  return answer.json();
}

/** Goes to a text, or says why it can't be opened. */
async function open(path, name) {
  try {
    const { address, why } = await post(path, { name });
    if (address) location.assign(address);
    else say(why, true);
  } catch {
    say(GONE, true);
  }
}

function item({ name, title, changed }) {
  const item = document.createElement("li");
  const button = item.appendChild(document.createElement("button"));
  button.type = "button";
  const add = (element, className, words) => {
    const own = button.appendChild(document.createElement(element));
    own.className = className;
    own.textContent = words;
    return own;
  };
  add("span", "title", title ?? name.replace(/^.*\//, "").replace(/\.flam$/i, ""));
  add("span", "file", name);
  const when = new Date(changed);
  add("time", "", when.toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" })).dateTime = when.toISOString();
  button.addEventListener("click", () => open("open", name));
  return item;
}

async function list() {
  const { folder, texts, why } = await (await fetch("list")).json();
  byId("name").textContent = document.title = folder;
  byId("texts").replaceChildren(...texts.map(item));
  byId("none").hidden = texts.length > 0 || why !== undefined;
  if (why !== undefined) say(why, true);
  else if (unread || byId("state").textContent === GONE) say("");
  unread = why !== undefined;
}

/** Tells the program that somebody is here, and looks again and again what is in the folder. */
async function stay() {
  for (;;) {
    try {
      await post("news", { since: 0 });
      await list();
    } catch {
      say(GONE, true);
      await new Promise((done) => setTimeout(done, PATIENCE));
    }
  }
}

byId("begin").addEventListener("submit", (event) => {
  event.preventDefault();
  open("begin", byId("new-name").value);
});
// Also where a person comes back to the page.
window.addEventListener("pageshow", () => list().catch(() => say(GONE, true)));
document.addEventListener("visibilitychange", () => { if (!document.hidden) list().catch(() => say(GONE, true)); });
stay();
