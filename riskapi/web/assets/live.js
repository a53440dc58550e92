// The figure that moves while one answers: asked for a moment after the last answer, shown as it comes from the server.
import { send } from "./send.js";

const PAUSE = 150; // [ms] after the last answer
let timer;
let running = false; // one question at a time: answers that come meanwhile are asked about together afterwards
let again = false;

/** Ask what the case comes to by now and show it; `after` gets the state of the core checks, `faults` the lines that say
 * what is wrong with the case that was sent. */
export function refresh(makeCase, after, faults) {
  clearTimeout(timer);
  document.getElementById("live").setAttribute("aria-busy", "true");
  timer = setTimeout(() => ask(makeCase, after, faults), PAUSE);
}

async function ask(makeCase, after, faults) {
  if (running) {
    again = true;
    return;
  }
  running = true;
  const began = performance.now();
  try {
    const sent = makeCase();
    const response = await send("/visit/live", sent, { Accept: "text/html" });
    if (response.status === 200 || response.status === 422) show(await response.text(), began, after);
    faults([...document.querySelectorAll("#live [data-place]")], sent);
  } catch {
    // without a signal the last figure stays
  } finally {
    running = false;
  }
  if (again) {
    again = false;
    ask(makeCase, after, faults);
  } else {
    document.getElementById("live").setAttribute("aria-busy", "false");
  }
}

function show(piece, began, after) {
  const place = document.getElementById("live");
  const open = place.querySelector("[data-reveal]")?.getAttribute("aria-expanded") === "true";
  place.innerHTML = piece; // made and escaped by the server
  place.dataset.took = String(Math.round(performance.now() - began));
  if (open) place.querySelector("[data-reveal]")?.click();
  const state = document.getElementById("core-state");
  if (state) after(state.dataset);
}
