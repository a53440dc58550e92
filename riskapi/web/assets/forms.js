// Forms that speak to the API: fields become a JSON value by their names, faults come back beside them.
import { faultsOf, send } from "./send.js";
import { amount } from "./answers.js";

const words = JSON.parse(document.getElementById("words").textContent);
const newKey = () => crypto.randomUUID?.() ?? String(Math.random()).slice(2);

function put(value, path, item) {
  const steps = path.split(".");
  let holder = value;
  steps.slice(0, -1).forEach((step, i) => { holder = holder[step] ??= /^\d+$/.test(steps[i + 1]) ? [] : {}; });
  holder[steps.at(-1)] = item;
}

/** The value of a form: empty fields are left out, a field with a unit is a quantity, one that others hang on takes them along. */
export function valueOf(form) {
  const value = JSON.parse(form.dataset.value ?? "{}");
  for (const field of form.elements) {
    if (!field.name || field.value === "" || ((field.type === "radio" || field.type === "checkbox") && !field.checked)) continue;
    if (field.dataset.needs && !form.elements[field.dataset.needs].value) continue;
    const unit = field.dataset.unit ?? form.elements[field.dataset.unitFrom]?.value;
    put(value, field.name, unit ? { value: amount(field.value), unit } : field.value);
  }
  return value;
}

for (const form of document.querySelectorAll("form[data-api]")) {
  const place = form.querySelector("[role=status]");
  let key = newKey();
  form.addEventListener("change", () => { key = newKey(); });
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    place.textContent = words.sending;
    try {
      const response = await send(form.dataset.api, valueOf(form), { "Idempotency-Key": key });
      if (!response.ok) return tell(place, await faultsOf(response));
      const made = response.status === 204 ? {} : await response.json();
      if (form.dataset.next) location.assign(form.dataset.next.replace("{id}", made.assessment_id ?? ""));
      else tell(place, [form.dataset.done]);
    } catch {
      place.textContent = words.failed;
    }
  });
}

function tell(place, lines) {
  const list = document.createElement("ul");
  for (const line of lines) list.append(Object.assign(document.createElement("li"), { textContent: line }));
  place.replaceChildren(list);
}

// The results of the check that is chosen.
for (const choice of document.querySelectorAll("[data-results-of]")) {
  const check = document.getElementById(choice.dataset.resultsOf);
  const [blank, groups] = [choice.options[0], [...choice.querySelectorAll("optgroup")]];
  const show = () => choice.replaceChildren(blank, ...groups.filter((group) => group.dataset.check === check.value));
  check.addEventListener("change", show);
  show();
}
