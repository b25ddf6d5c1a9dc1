// Lights up engraved notes while they sound.
//
// litNotes(picture, cues, now) looks after the notes in an element:
//
//   picture  holds engraved SVG, once or at several widths. A note is a group of class `note` with
//            `data-bar` and `data-beat`, a bar a group of class `bar` with `data-bar`; of several players
//            each stands in a group with `data-player`.
//   cues     [{time, end, ids}] by time, in any unit: which notes sound from when to when. An id is
//            `noteId(bar, beat, player)`. A note that is not printed, as in a bar that is written as a
//            sign, lights up its bar.
//   now      a function that tells where the music is, in the same unit, or null where there is silence. It
//            should read the clock of what sounds, less the time until that is heard.
//
// start() draws with every frame of the screen, stop() puts all lights out, and draw() draws one frame. What
// is lit has the class `lit`; how that looks is for a style sheet.

const LIT = 'lit';

function noteId(bar, beat, player) {
  return [bar, beat, player].filter(part => part !== undefined && part !== '').join(' ');
}

function notesById(picture) {
  const found = new Map();
  const add = (id, element) => found.set(id, [...(found.get(id) ?? []), element]);
  for (const element of picture.querySelectorAll('.note, .bar')) {
    // Of two voices one may rest while the other plays.
    if (element.matches('.note') && element.querySelector('.rest')) continue;
    const player = element.closest('[data-player]')?.dataset.player;
    add(noteId(element.dataset.bar, element.dataset.beat, player), element);
  }
  return found;
}

function litNotes(picture, cues, now) {
  const notes = notesById(picture);
  const barOf = id => {
    const [bar, , ...player] = id.split(' ');
    return noteId(bar, undefined, player.join(' '));
  };
  const elements = id => notes.get(id) ?? notes.get(barOf(id)) ?? [];
  const lights = cues.map(({ time, end, ids }) => ({ time, end, elements: ids.flatMap(elements) }));
  let next = 0;
  let before = -Infinity;
  let lit = [];
  let frame = null;

  // Two cues may light the same bar: it stays lit while one of them does.
  function show(wanted) {
    const old = new Set(lit.flatMap(light => light.elements));
    const new_ = new Set(wanted.flatMap(light => light.elements));
    for (const element of old) if (!new_.has(element)) element.classList.remove(LIT);
    for (const element of new_) if (!old.has(element)) element.classList.add(LIT);
    lit = wanted;
  }

  function draw() {
    const time = now();
    if (time === null) {
      if (lit.length) show([]);
      next = 0;
      before = -Infinity;
      return;
    }
    // Back to the start of a loop.
    if (time < before) next = 0;
    let wanted = time < before ? [] : lit;
    before = time;
    while (next < lights.length && lights[next].time <= time) wanted = [...wanted, lights[next++]];
    wanted = wanted.filter(light => light.end > time);
    if (wanted.length !== lit.length || wanted.some((light, at) => light !== lit[at])) show(wanted);
  }

  function drawOn() {
    draw();
    frame = requestAnimationFrame(drawOn);
  }

  return {
    draw,
    start() {
      if (frame === null) drawOn();
    },
    stop() {
      if (frame !== null) cancelAnimationFrame(frame);
      frame = null;
      show([]);
      next = 0;
      before = -Infinity;
    },
  };
}
