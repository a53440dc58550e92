// Sending to this server, with the token that shows that one of its own pages asks, in the language of the page.

const COOKIE = "riskapi_form";

function own() {
  const found = document.cookie.split("; ").find((item) => item.startsWith(`${COOKIE}=`));
  const token = found ? { "X-Riskapi-Form": found.slice(COOKIE.length + 1) } : {};
  return { "Accept-Language": document.documentElement.lang, ...token };
}

/** POST a JSON value; resolves to the response, rejects without a signal. */
export function send(address, value, headers = {}) {
  return fetch(address, {
    method: "POST",
    headers: { "Content-Type": "application/json", ...own(), ...headers },
    body: JSON.stringify(value),
  });
}

/** POST a picture as it is. */
export function sendPicture(address, picture, headers = {}) {
  return fetch(address, { method: "POST", headers: { "Content-Type": picture.type, ...own(), ...headers }, body: picture });
}

/** DELETE what is at an address. */
export function remove(address) {
  return fetch(address, { method: "DELETE", headers: own() });
}

/** The faults in a refusal as lines of text. */
export async function faultsOf(response) {
  try {
    const told = await response.json();
    const faults = (told.faults ?? []).map((fault) => `${fault.message} ${fault.mend}`);
    return faults.length ? faults : [told.detail ?? told.title];
  } catch {
    return [`${response.status}`];
  }
}
