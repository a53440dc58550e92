// Photos of findings: kept on this device, sent when there is a signal, named in the findings by the ids they then have.
import { dropPhoto, keepPhoto, photo } from "./store.js";
import { faultsOf, sendPicture } from "./send.js";

/** Keep the pictures chosen at a stop; `state.photos[check]` lists them as {local, id}. */
export async function add(state, check, pictures) {
  const listed = ((state.photos ??= {})[check] ??= []);
  for (const picture of pictures) {
    const local = crypto.randomUUID?.() ?? String(Math.random()).slice(2);
    await keepPhoto(local, picture);
    listed.push({ local, id: null });
  }
}

export async function drop(state, check, local) {
  state.photos[check] = state.photos[check].filter((item) => item.local !== local);
  await dropPhoto(local);
}

/** Send what has not been sent; resolves to the ids by check. Throws {faults} when one is refused. */
export async function sendAll(state) {
  for (const [check, listed] of Object.entries(state.photos ?? {})) {
    for (const item of listed.filter((each) => !each.id)) {
      const picture = await photo(item.local);
      if (!picture) continue;
      const response = await sendPicture("/v1/photos", picture, { "Idempotency-Key": item.local });
      if (!response.ok) throw Object.assign(new Error(check), { faults: await faultsOf(response) });
      item.id = (await response.json()).photo_id;
    }
  }
  return Object.fromEntries(Object.entries(state.photos ?? {}).map(([check, listed]) => [check, listed.map((item) => item.id).filter(Boolean)]));
}

/** Show the photos of a stop as small pictures with a button to remove each. */
export async function show(stop, state, words, dropped) {
  const list = stop.querySelector(".photos");
  if (!list) return;
  list.replaceChildren();
  for (const [place, item] of (state.photos?.[stop.dataset.check] ?? []).entries()) {
    const picture = await photo(item.local);
    if (!picture) continue;
    const image = Object.assign(document.createElement("img"), { src: URL.createObjectURL(picture), alt: `${place + 1}`, width: 72 });
    const button = Object.assign(document.createElement("button"), { type: "button", className: "plain", textContent: `${words.remove} ${place + 1}` });
    button.addEventListener("click", () => dropped(item.local));
    const line = document.createElement("li");
    line.append(image, button);
    list.append(line);
  }
}
