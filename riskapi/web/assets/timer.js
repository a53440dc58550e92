// Timing a noise: hold the button while it lasts, or tap it (or press space) once at its beginning and once at its end.

const TAP = 300; // [ms]: whoever lets go sooner has tapped, and taps again at the end

export function watch(button, done) {
  const field = document.getElementById(button.dataset.hold);
  let began = null, pressed = null, ticking;

  const start = () => {
    began = performance.now();
    show(true);
    ticking = setInterval(() => (field.value = seconds()), 100);
  };
  const seconds = () => ((performance.now() - began) / 1000).toFixed(1);
  const stop = () => {
    clearInterval(ticking);
    field.value = seconds();
    began = pressed = null;
    show(false);
    done();
  };
  const show = (running) => {
    button.classList.toggle("running", running);
    button.setAttribute("aria-pressed", String(running));
  };
  const toggle = () => (began === null ? start() : stop());

  button.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    button.setPointerCapture?.(event.pointerId);
    if (began !== null) return stop();
    pressed = performance.now();
    start();
  });
  const release = () => { if (pressed !== null && performance.now() - pressed >= TAP) stop(); pressed = null; };
  button.addEventListener("pointerup", release);
  button.addEventListener("pointercancel", release);
  button.addEventListener("contextmenu", (event) => event.preventDefault()); // a long press opens no menu
  button.addEventListener("keydown", (event) => {
    if (event.key !== " " && event.key !== "Enter") return;
    event.preventDefault();
    if (!event.repeat) toggle();
  });
  button.addEventListener("keyup", (event) => { if (event.key === " ") event.preventDefault(); });
  button.addEventListener("click", (event) => { if (event.detail === 0) toggle(); }); // a screen reader: no pointer, no key
}
