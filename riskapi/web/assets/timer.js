// Timing a noise: hold the button while it lasts, or press the space bar at its beginning and at its end.

export function watch(button, done) {
  const field = document.getElementById(button.dataset.hold);
  let began = null, ticking;

  const start = () => {
    if (began !== null) return;
    began = performance.now();
    button.classList.add("running");
    ticking = setInterval(() => (field.value = seconds()), 100);
  };
  const seconds = () => ((performance.now() - began) / 1000).toFixed(1);
  const stop = () => {
    if (began === null) return;
    clearInterval(ticking);
    field.value = seconds();
    began = null;
    button.classList.remove("running");
    done();
  };

  button.addEventListener("pointerdown", (event) => { button.setPointerCapture?.(event.pointerId); start(); });
  button.addEventListener("pointerup", stop);
  button.addEventListener("pointercancel", stop);
  button.addEventListener("contextmenu", (event) => event.preventDefault()); // a long press opens no menu
  button.addEventListener("keydown", (event) => {
    if (event.key !== " " && event.key !== "Enter") return;
    event.preventDefault();
    if (!event.repeat) began === null ? start() : stop();
  });
}
