// The figure that moves while one answers: asked for a moment after the last answer, shown as it comes from the server.
import { send } from "./send.js";

const PAUSE = 150; // [ms] after the last answer
let timer;
let running = false; // one question at a time: answers that come meanwhile are asked about together afterwards
let again = false;

/** Ask what the case comes to by now and show it; `after` gets the state of the core checks. */
export function refresh(makeCase, after) {
  clearTimeout(timer);
  document.getElementById("live").setAttribute("aria-busy", "true");
  timer = setTimeout(() => ask(makeCase, after), PAUSE);
}

async function ask(makeCase, after) {
  if (running) {
    again = true;
    return;
  }
  running = true;
  const began = performance.now();
  try {
    const response = await send("/visit/live", makeCase(), { Accept: "text/html" });
    if (response.status === 200 || response.status === 422) show(await response.text(), began, after);
  } catch {
    // without a signal the last figure stays
  } finally {
    running = false;
  }
  if (again) {
    again = false;
    ask(makeCase, after);
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
