// Sending the finished look: once, however often it is tried, and later where there is no signal now.
import { faultsOf, send } from "./send.js";
import { sendAll } from "./photos.js";
import { save } from "./store.js";

const place = () => document.getElementById("finish-said");
let sending = false;

export function said(text, id) {
  const line = Object.assign(document.createElement("p"), { textContent: text });
  place().replaceChildren(line);
  if (id) {
    const link = Object.assign(document.createElement("a"), { href: `/assessments/${id}`, textContent: words().see_result });
    line.append(" ", link);
  }
}

const words = () => JSON.parse(document.getElementById("words").textContent);

function refused(title, faults) {
  const list = document.createElement("ul");
  for (const fault of faults) list.append(Object.assign(document.createElement("li"), { textContent: fault }));
  place().replaceChildren(Object.assign(document.createElement("p"), { textContent: title, className: "fault" }), list);
}

/** Send photos, then the case under the key of this state; go to the result. */
export async function finish(state, makeCase, told) {
  if (sending) return;
  sending = true;
  said(told.sending);
  try {
    const photos = await sendAll(state);
    save(state);
    const response = await send("/v1/assessments", makeCase(photos), { "Idempotency-Key": state.key });
    if (response.ok) return done(state, await response.json());
    if (response.status === 401) return signIn(state);
    state.waiting = false;
    save(state);
    refused(told.not_sent, await faultsOf(response));
  } catch (error) {
    if (error.faults) return refused(told.photo_refused, error.faults);
    state.waiting = true;
    save(state);
    said(told.waiting);
  } finally {
    sending = false;
  }
}

// The session is over: the case waits until the key was shown again.
function signIn(state) {
  state.waiting = true;
  save(state);
  location.assign(`/sign-in?next=${encodeURIComponent(location.pathname + location.search)}`);
}

function done(state, made) {
  state.sent = made.assessment_id;
  state.waiting = false;
  save(state);
  location.assign(`/assessments/${made.assessment_id}`);
}
