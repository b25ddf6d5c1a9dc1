// A page without sound: a button at each block shows how it goes. Its music moves once, in tempo, after a bar that is
// counted in; what moves when stands as JSON in the element `motion-data`:
//
//   [{seconds, motion}]   for each block how long it is, and the plan of what moves, in seconds from its first beat and
//                         with one drawing for each width; `motion.js` shows it

(() => {
  const data = JSON.parse(document.getElementById('motion-data').textContent);
  // Stops what moves.
  let current = null;

  function set(controls) {
    const { seconds, motion } = data[Number(controls.dataset.block)];
    const button = controls.querySelector('button');
    const figure = controls.closest('figure');
    const svgs = motion.ways.map((_, way) => figure.querySelector(`svg.w${way + 1}`));
    const music = new MovingMusic(motion, {
      roots: [figure],
      drawings: svgs.map(svg => () => svg),
      counted: controls.querySelector('.counted'),
    });
    // When its first beat falls, in milliseconds.
    let first = 0;

    function stop() {
      current = null;
      button.setAttribute('aria-pressed', 'false');
      music.show(null);
      controls.querySelector('.counted').replaceChildren();
    }

    function follow() {
      if (current !== stop) return;
      const time = (performance.now() - first) / 1000;
      if (time >= seconds) {
        stop();
        return;
      }
      music.show(time);
      requestAnimationFrame(follow);
    }

    function start() {
      current?.();
      current = stop;
      button.setAttribute('aria-pressed', 'true');
      first = performance.now() - (motion.beats[0]?.[0] ?? 0) * 1000;
      follow();
    }

    button.addEventListener('click', () => (current === stop ? stop() : start()));
    figure.classList.add('moves');
    controls.hidden = false;
  }

  document.querySelectorAll('.show').forEach(set);
  document.addEventListener('keydown', event => {
    if (event.key === 'Escape') current?.();
  });
})();
