// The page of a lesson: each block is played from samples of single strokes, and its music moves along.
//
// What is played stands as JSON in the element `lesson-data`:
//
//   voices   [{damp, sounds}]: seconds in which a sound falls silent once it is damped, and its FLAC files in
//            base64: one, or one for each hand
//   blocks   [{beats, intro, clicks, strokes, motion}], all in beats of the tempo at the block's start
//     intro, clicks   [beat, voice, gain]
//     strokes         [beat, early, voice, side, gain, until]: `early` seconds before its beat; damped at the
//                     beat `until`, or null
//     motion          the plan of what moves, one drawing for each width; `motion.js` shows it

const LOUDEST = 0.8;

(() => {
  const data = JSON.parse(document.getElementById('lesson-data').textContent);
  const alarm = document.getElementById('no-sound');
  let context = null;
  let out = null;
  let current = null;
  const decoded = new Map();

  // What is over full scale is bent, not cut: as a straight line up to LOUDEST.
  function softLimit() {
    const bend = x => {
      const over = Math.abs(x) - LOUDEST;
      return over <= 0 ? x : Math.sign(x) * (LOUDEST + (1 - LOUDEST) * Math.tanh(over / (1 - LOUDEST)));
    };
    const range = 2;
    const curve = Float32Array.from({ length: 4097 }, (_, at) => bend(((at - 2048) / 2048) * range));
    const down = new GainNode(context, { gain: 1 / range });
    const shaper = new WaveShaperNode(context, { curve });
    down.connect(shaper).connect(context.destination);
    return down;
  }

  function open() {
    if (!context) {
      // Phones: sound also where the ringer is off.
      if (navigator.audioSession) navigator.audioSession.type = 'playback';
      context = new AudioContext({ latencyHint: 'interactive' });
      out = softLimit();
    }
    return context.resume();
  }

  function bytes(base64) {
    return Uint8Array.from(atob(base64), letter => letter.charCodeAt(0)).buffer;
  }

  function voice(number) {
    if (!decoded.has(number)) {
      const sounds = data.voices[number].sounds.map(sound => context.decodeAudioData(bytes(sound)));
      decoded.set(number, Promise.all(sounds));
    }
    return decoded.get(number);
  }

  async function voicesOf(block) {
    const used = new Set([
      ...block.intro.map(click => click[1]),
      ...block.clicks.map(click => click[1]),
      ...block.strokes.map(stroke => stroke[2]),
    ]);
    const ready = new Map();
    await Promise.all([...used].map(async number => ready.set(number, await voice(number))));
    return ready;
  }

  function sounding(buffer, gain, when, to) {
    const source = new AudioBufferSourceNode(context, { buffer });
    const level = new GainNode(context, { gain });
    source.connect(level).connect(to);
    source.onended = () => level.disconnect();
    source.start(when);
    return { source, level, stop: at => source.stop(at) };
  }

  function pieceOf(block, ready, isClicking) {
    const click = ([beat, number, gain], isHeard) => ({
      beat,
      early: 0,
      sound: (when, _, to) => (isHeard() ? sounding(ready.get(number)[0], gain, when, to) : null),
    });
    const stroke = ([beat, early, number, side, gain, until]) => ({
      beat,
      early,
      sound(when, secondsPerBeat, to) {
        const sounds = ready.get(number);
        const made = sounding(sounds[side % sounds.length], gain, when, to);
        if (until !== null) {
          const { damp } = data.voices[number];
          const end = Math.max(when, when + early + (until - beat) * secondsPerBeat);
          // To a thousandth within the time.
          made.level.gain.setTargetAtTime(0, end, damp / 6.9);
          made.source.stop(end + 1.5 * damp);
        }
        return made;
      },
    });
    const always = () => true;
    const events = [
      ...block.clicks.map(own => click(own, isClicking)),
      ...block.strokes.map(stroke),
    ].sort((a, b) => a.beat - b.beat);
    return { beats: block.beats, intro: block.intro.map(own => click(own, always)), events };
  }

  function set(controls) {
    const block = data.blocks[Number(controls.dataset.block)];
    const find = name => controls.querySelector(`.${name}`);
    const [play, loop, click, intro, tempo] = ['play', 'loop', 'click', 'intro', 'tempo'].map(find);
    const [label, shown] = [find('label'), find('shown')];
    const figure = controls.closest('figure');
    const svgs = block.motion.ways.map((_, way) => figure.querySelector(`svg.w${way + 1}`));
    const music = new MovingMusic(block.motion, {
      roots: [figure],
      drawings: svgs.map(svg => () => svg),
      counted: find('counted'),
    });
    let transport = null;
    let starting = false;

    function follow() {
      if (current !== stop) return;
      music.show(transport?.heard ?? null);
      requestAnimationFrame(follow);
    }

    function showState(on) {
      label.textContent = on ? play.dataset.stop : play.dataset.play;
      controls.classList.toggle('on', on);
    }

    function end() {
      showState(false);
      transport = null;
      if (current === stop) current = null;
      music.show(null);
    }

    function stop() {
      starting = false;
      transport?.stop();
      end();
    }

    async function start() {
      current?.();
      current = stop;
      starting = true;
      showState(true);
      try {
        await open();
        const ready = await voicesOf(block);
        // Somebody may have stopped it meanwhile.
        if (!starting) return;
        transport = new Transport(context, pieceOf(block, ready, () => click.checked), tempo.valueAsNumber, end);
        transport.start(out, { intro: intro.checked, loop: loop.checked });
        follow();
      } catch (fault) {
        stop();
        alarm.hidden = false;
        console.error(fault);
      } finally {
        starting = false;
      }
    }

    play.addEventListener('click', () => (current === stop ? stop() : start()));
    tempo.addEventListener('input', () => {
      shown.textContent = tempo.value;
      tempo.setAttribute('aria-valuetext', `${tempo.value} ${tempo.dataset.unit}`);
      if (transport) transport.tempo = tempo.valueAsNumber;
    });
    loop.addEventListener('change', () => {
      if (transport) transport.loop = loop.checked;
    });
    controls.hidden = false;
  }

  document.querySelectorAll('.controls').forEach(set);
  document.addEventListener('keydown', event => {
    if (event.key === 'Escape') current?.();
  });
})();
