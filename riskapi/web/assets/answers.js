// Between the fields of the checklist and the findings of a case.

const FACTOR = { bar: { psi: 0.0689475729 }, L: { quart: 0.946352946 } }; // one of these in the unit that is sent
const KM_PER_MILE = 1.609344;
const KIND = { bar: "pressure", L: "volume" };

const visit = () => document.querySelector(".visit");

/** Numbers as people write them: 9,5 and 9.5. */
export function number(text) {
  const plain = text.trim().replace(/\s/g, "").replace(",", ".");
  return plain === "" ? null : Number(plain);
}

/** Distances and amounts of money: 98.800, 98,800 and 98 800 are the same whole number everywhere. */
export function amount(text) {
  const plain = text.trim().replace(/[\s'\u2019]/g, "");
  return /^\d{1,3}([.,]\d{3})+$/.test(plain) ? Number(plain.replace(/[.,]/g, "")) : number(plain);
}

/** The unit that is shown for the unit of the check, and by what a number in it is multiplied to be sent. */
export function shownUnit(unit) {
  if (unit === "L/1000km") return oilUse();
  const chosen = KIND[unit] ? visit().dataset[KIND[unit]] : unit;
  const factor = FACTOR[unit]?.[chosen];
  return factor ? { unit: chosen, factor } : { unit, factor: 1 };
}

// Oil used over a distance, in the volume and the distance of this visit.
function oilUse() {
  const { volume, distance } = visit().dataset;
  const factor = (FACTOR.L[volume] ?? 1) / (distance === "mi" ? KM_PER_MILE : 1);
  return { unit: `${volume === "quart" ? "qt" : volume}/1000 ${distance}`, factor };
}

export const stops = () => [...document.querySelectorAll(".stop")];

const rounded = (value) => Number(value.toPrecision(8));

/** What the fields of one stop say: one entry per check that it answers. */
export function read(stop) {
  const said = {};
  for (const box of stop.querySelectorAll("[data-answers]")) {
    const chosen = box.querySelector("input[type=radio]:checked");
    if (chosen) said[box.dataset.answers] = { v: chosen.value };
  }
  const main = (said[stop.dataset.check] ??= {});
  const measured = [...stop.querySelectorAll("[data-measure] [data-value]")].map((field) => field.value);
  if (measured.some((text) => text.trim() !== "")) main.measured = measured;
  const codes = stop.querySelector("[data-codes] [data-value]")?.value.trim();
  if (codes) main.codes = codes;
  const off = [...stop.querySelectorAll("[data-condition]:not(:checked)")].map((box) => box.dataset.condition);
  if (off.length) main.off = off;
  const note = stop.querySelector("[data-note]")?.value.trim();
  if (note) main.note = note;
  if (Object.keys(main).length === 0) delete said[stop.dataset.check];
  return said;
}

/** Put the kept answers into the fields of a stop. */
export function write(stop, answers) {
  for (const box of stop.querySelectorAll("[data-answers]")) {
    const kept = answers[box.dataset.answers]?.v;
    for (const radio of box.querySelectorAll("input[type=radio]")) radio.checked = radio.value === kept;
  }
  const main = answers[stop.dataset.check] ?? {};
  stop.querySelectorAll("[data-measure] [data-value]").forEach((field, i) => (field.value = main.measured?.[i] ?? ""));
  const codes = stop.querySelector("[data-codes] [data-value]");
  if (codes) codes.value = main.codes ?? "";
  for (const box of stop.querySelectorAll("[data-condition]")) box.checked = !main.off?.includes(box.dataset.condition);
  const note = stop.querySelector("[data-note]");
  if (note) note.value = main.note ?? "";
}

/** Whether this answer says something about its check. */
export const answered = (answer) => Boolean(answer && (answer.v || answer.measured || answer.codes));

/** The findings of a case. */
export function findings(answers, photos = {}) {
  return stops().flatMap((stop) => [...stop.querySelectorAll("[data-answers]")].flatMap((box) => {
    const check = box.dataset.answers;
    const answer = answers[check];
    const { told } = stop.dataset;
    if (told) return answered(answer) ? [{ check: told, ...outcome(stop, answer), observed_by: "seller" }] : [];
    return answered(answer) ? [{ check, ...outcome(stop, answer), ...beside(answer, photos[check]) }] : [];
  }));
}

function outcome(stop, answer) {
  if (answer.v?.startsWith("n:")) return { not_checked: answer.v.slice(2) };
  if (answer.measured) {
    const box = stop.querySelector("[data-measure]");
    const { factor } = shownUnit(box.dataset.unit);
    const values = answer.measured.map((text) => { const value = number(text); return value === null ? null : rounded(value * factor); });
    const one = box.dataset.reduce === "value";
    return { measured: { ...(one ? { value: values[0] } : { values }), unit: box.dataset.unit } };
  }
  if (answer.codes) return { measured: { codes: answer.codes.toUpperCase().split(/[\s,;]+/).filter(Boolean) } };
  return { result: answer.v.slice(2) };
}

function beside(answer, photos) {
  const conditions = Object.fromEntries((answer.off ?? []).map((name) => [name, false]));
  const note = [answer.group, answer.note].filter(Boolean).join(" ");
  return {
    ...(answer.off?.length && !answer.v?.startsWith("n:") ? { conditions } : {}),
    ...(note ? { note } : {}),
    ...(photos?.length ? { photos } : {}),
  };
}
