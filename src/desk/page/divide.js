// What lies between the text and the pages is moved by hand or by the arrow keys.

export function divide(bar, room) {
  let share = 44;
  const set = (value) => {
    share = Math.min(75, Math.max(20, value));
    room.style.setProperty("--writing", `${share}%`);
    for (const [name, own] of [["now", Math.round(share)], ["min", 20], ["max", 75]]) {
      bar.setAttribute(`aria-value${name}`, own);
    }
  };
  set(share);
  bar.addEventListener("pointerdown", (event) => {
    bar.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  bar.addEventListener("pointermove", (event) => {
    if (!bar.hasPointerCapture(event.pointerId)) return;
    const box = room.getBoundingClientRect();
    set(((event.clientX - box.left) / box.width) * 100);
  });
  bar.addEventListener("keydown", (event) => {
    if (event.key === "ArrowLeft") set(share - 2);
    if (event.key === "ArrowRight") set(share + 2);
  });
}
