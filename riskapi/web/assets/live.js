// The figure that moves while one answers: asked for a moment after the last answer, shown as it comes from the server.
import { send } from "./send.js";

const PAUSE = 150; // [ms] after the last answer
let timer;
let running = false; // one question at a time: answers that come meanwhile are asked about together afterwards
let again = false;

/** Ask what the case comes to by now and show it. `told` is called with what happened: `core` with the state of the core
 * checks, `faults` with the lines that say what is wrong with the case that was sent, `away` where there is no signal. */
export function refresh(makeCase, told) {
  clearTimeout(timer);
  document.getElementById("live").setAttribute("aria-busy", "true");
  timer = setTimeout(() => ask(makeCase, told), PAUSE);
}

async function ask(makeCase, told) {
  if (running) {
    again = true;
    return;
  }
  running = true;
  const began = performance.now();
  try {
    const sent = makeCase();
    const response = await send("/visit/live", sent, { Accept: "text/html" });
    if (response.status === 200 || response.status === 422) show(await response.text(), began, told);
    told.faults([...document.querySelectorAll("#live [data-place]")], sent);
  } catch {
    told.away();
  } finally {
    running = false;
  }
  if (again) {
    again = false;
    ask(makeCase, told);
  } else {
    document.getElementById("live").setAttribute("aria-busy", "false");
  }
}

function show(piece, began, told) {
  const place = document.getElementById("live");
  const open = place.querySelector("[data-reveal]")?.getAttribute("aria-expanded") === "true";
  place.innerHTML = piece; // made and escaped by the server
  place.dataset.took = String(Math.round(performance.now() - began));
  if (open) place.querySelector("[data-reveal]")?.click();
  const state = document.getElementById("core-state");
  if (state) told.core(state.dataset);
}
