// What was answered, kept on this device under the address of the visit: in local storage, pictures in a database.

const PREFIX = "riskapi:visit:";
const DATABASE = "riskapi-photos";

export const visitKey = () => PREFIX + location.search;

const empty = () => ({ answers: {}, key: crypto.randomUUID?.() ?? String(Math.random()).slice(2), sent: null, waiting: false });

/** The state of this visit, a new one if there is none. */
export function load() {
  try {
    return { ...empty(), ...JSON.parse(localStorage.getItem(visitKey()) ?? "{}") };
  } catch {
    return empty();
  }
}

export function save(state) {
  localStorage.setItem(visitKey(), JSON.stringify({ ...state, title: document.querySelector("h1").textContent }));
}

export function forget() {
  localStorage.removeItem(visitKey());
}

/** Every visit begun on this device: its query, title and state. */
export function visits() {
  return Object.keys(localStorage).filter((key) => key.startsWith(PREFIX)).map((key) => {
    const state = JSON.parse(localStorage.getItem(key));
    return { query: key.slice(PREFIX.length), ...state };
  });
}

/** After an answer changed, what was sent is no longer the same: the next sending is another write. */
export function changed(state) {
  if (state.sent || state.waiting) {
    state.key = crypto.randomUUID?.() ?? String(Math.random()).slice(2);
    state.sent = null;
    state.waiting = false;
  }
}

function database() {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open(DATABASE, 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore("photos");
    opening.onsuccess = () => resolve(opening.result);
    opening.onerror = () => reject(opening.error);
  });
}

async function inStore(mode, work) {
  const opened = await database();
  return new Promise((resolve, reject) => {
    const asked = work(opened.transaction("photos", mode).objectStore("photos"));
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  }).finally(() => opened.close());
}

export const keepPhoto = (id, picture) => inStore("readwrite", (store) => store.put(picture, id));
export const photo = (id) => inStore("readonly", (store) => store.get(id));
export const dropPhoto = (id) => inStore("readwrite", (store) => store.delete(id));
