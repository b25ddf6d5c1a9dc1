// Moves what moves on engraved music while it is played, as a film of it does: notes change their colour, a line goes
// through the staff, and beside the music stand the syllable that is said and the beats as dots.
//
// What moves when is told by a plan, which is the film's own: `src/write/motion.rs` says what is in it. Its times are in
// any unit.
//
// new Motion(plan) answers what is seen at a time:
//
//   at(time)          {lights, said, beat}: the plan's entries that are on then; `said` and `beat` may be null
//   place(way, time)  {line, x}: where the cursor is in a drawing, or null
//
// new MovingMusic(plan, {roots, drawings, counted, light}) shows it:
//
//   roots      elements that hold the notes. A note is a group of class `note` with `data-bar` and `data-beat`, a bar
//              a group of class `bar` with `data-bar`; of several players each stands in a group with
//              `data-player`. A note that is not printed, as in a bar that is written as a sign, lights up its bar.
//   drawings   for each drawing of the plan a function: the SVG element that a page of it is, or null
//   counted    the element that syllable and beats are put in, or null
//   light      told which elements are lit, as often as they change; without it they get the class `lit`
//   show(time) shows a moment, or nothing where the time is null
//
// How it looks is for a style sheet: `.lit`, `.cursor`, `.said`, `.said.rests`, `.beats`, `.beat.now`.

const SVG = 'http://www.w3.org/2000/svg';

// How many entries in order began before a time.
function begun(entries, time, from = entry => entry[0]) {
  let [low, high] = [0, entries.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (from(entries[middle]) <= time) low = middle + 1;
    else high = middle;
  }
  return low;
}

class Motion {
  #plan;
  // How long the longest light is on.
  #longest;

  constructor(plan) {
    this.#plan = plan;
    this.#longest = plan.lights.reduce((longest, [from, to]) => Math.max(longest, to - from), 0);
  }

  get plan() {
    return this.#plan;
  }

  at(time) {
    const { lights, said, beats } = this.#plan;
    const last = entries => entries[begun(entries, time) - 1] ?? null;
    const now = entry => (entry !== null && entry[1] > time ? entry : null);
    const struck = lights.slice(begun(lights, time - this.#longest), begun(lights, time));
    return { lights: struck.filter(now), said: now(last(said)), beat: now(last(beats)) };
  }

  place(way, time) {
    const { points } = this.#plan.ways[way];
    const next = begun(points, time);
    if (next === 0 || next === points.length) return null;
    const [[from, line, x], [to, , end]] = [points[next - 1], points[next]];
    return { line, x: x + ((end - x) * (time - from)) / (to - from) };
  }
}

function noteId(bar, beat, player) {
  return [bar, beat, player ?? ''].join(' ');
}

function notesById(roots) {
  const found = new Map();
  const add = (id, element) => found.set(id, [...(found.get(id) ?? []), element]);
  for (const root of roots) {
    for (const element of root.querySelectorAll('.note, .bar')) {
      // Of two voices one may rest while the other plays.
      if (element.matches('.note') && element.querySelector('.rest')) continue;
      const { bar, beat } = element.dataset;
      add(noteId(bar, beat ?? '', element.closest('[data-player]')?.dataset.player), element);
    }
  }
  return found;
}

class MovingMusic {
  #motion;
  #notes;
  #drawings;
  #counted;
  #light;
  #lit = [];
  // What stands beside the music: a syllable, whether it sounds, a beat, of how many.
  #shown = [];
  // The lines that are shown, one for each drawing.
  #cursors = [];

  constructor(plan, { roots, drawings, counted, light }) {
    this.#motion = new Motion(plan);
    this.#notes = notesById(roots);
    this.#drawings = drawings;
    this.#counted = counted ?? null;
    this.#light = light ?? (elements => this.#mark(elements));
  }

  show(time) {
    const now = time === null ? { lights: [], said: null, beat: null } : this.#motion.at(time);
    const lit = [...new Set(now.lights.flatMap(light => this.#elements(light)))];
    if (lit.length !== this.#lit.length || lit.some((element, nth) => element !== this.#lit[nth])) {
      this.#light(lit);
      this.#lit = lit;
    }
    this.#drawings.forEach((svg, way) => this.#move(way, svg, time));
    if (this.#counted) this.#count(now);
  }

  #elements([, , bar, beat, player]) {
    return this.#notes.get(noteId(bar, beat, player)) ?? this.#notes.get(noteId(bar, '', player)) ?? [];
  }

  #mark(elements) {
    for (const element of this.#lit) if (!elements.includes(element)) element.classList.remove('lit');
    for (const element of elements) element.classList.add('lit');
  }

  #move(way, svgOf, time) {
    const place = time === null ? null : this.#motion.place(way, time);
    const line = place && this.#motion.plan.ways[way].lines[place.line];
    const svg = line ? svgOf(line[0]) : null;
    let cursor = this.#cursors[way];
    if (cursor && cursor.parentNode !== svg) {
      cursor.remove();
      cursor = this.#cursors[way] = null;
    }
    if (!svg) return;
    const [, top, bottom, width] = line;
    if (!cursor) {
      cursor = this.#cursors[way] = document.createElementNS(SVG, 'rect');
      cursor.classList.add('cursor');
      // Under all ink, so that what it passes can be read, and over what lies behind the music.
      const behind = svg.querySelector(':scope > .background');
      if (behind) behind.after(cursor);
      else svg.prepend(cursor);
    }
    const set = { x: place.x - width / 2, y: top, width, height: bottom - top };
    for (const [name, value] of Object.entries(set)) cursor.setAttribute(name, value.toFixed(3));
  }

  #count({ said, beat }) {
    const shown = [said?.[2], said?.[3], beat?.[2], beat?.[3]];
    if (shown.every((own, nth) => own === this.#shown[nth]) && this.#counted.childElementCount) return;
    this.#shown = shown;
    const element = (name, words = '') => {
      const made = document.createElement('span');
      made.className = name;
      made.textContent = words;
      return made;
    };
    const word = element(said && !said[3] ? 'said rests' : 'said', said?.[2] ?? '');
    const beats = element('beats');
    for (let number = 1; number <= (beat?.[3] ?? 0); number += 1) {
      beats.append(element(number === beat[2] ? 'beat now' : 'beat'));
    }
    this.#counted.replaceChildren(word, beats);
  }
}
