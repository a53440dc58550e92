// Dates as people type them with a thumb: 0519, 5/2019, 09062019, 9.6.2019. riskapi/web/pages/dates.py reads them alike.

const MIDDLE = 15; // day of the month where none is stated

/** {year, month, day}, the day null where only the month is stated; null for what is no date. Day before month. */
export function readDate(text, now = new Date().getFullYear()) {
  const groups = text.trim().split(/\D+/).filter(Boolean);
  const [day, month, year] = groups.length === 1 ? unbroken(groups[0]) : broken(groups);
  const date = { day: day ? Number(day) : null, month: Number(month), year: fullYear(year ?? "", now) };
  const inYear = date.month >= 1 && date.month <= 12 && date.year >= 1900 && date.year <= now;
  const real = date.day === null || new Date(date.year, date.month - 1, date.day).getDate() === date.day;
  return inYear && real ? date : null;
}

function broken(groups) {
  if (groups.length > 3) return [];
  if (groups[0]?.length === 4) groups.reverse(); // the year first
  return groups.length === 2 ? [null, ...groups] : groups;
}

// By the number of digits; a year's first half, 19 or 20, is no month, so month and year are never taken for a day.
function unbroken(digits) {
  const cut = (first, second) => [digits.slice(0, first), digits.slice(first, second), digits.slice(second)];
  if (digits.length === 3 || digits.length === 5) return cut(0, 1);
  if (digits.length === 4) return cut(0, 2);
  if (digits.length === 6) return /^..(19|20)/.test(digits) ? cut(0, 2) : cut(2, 4);
  return digits.length === 8 ? cut(2, 4) : [];
}

// 2019 for 19, 1998 for 98: no paper is from a year to come.
function fullYear(text, now) {
  if (!/^\d{2}$/.test(text)) return Number(text);
  return Number(text) + (2000 + Number(text) > now ? 1900 : 2000);
}

const padded = (value, width) => String(value).padStart(width, "0");

/** YYYY-MM-DD, the middle of the month where no day is stated, but no day after `today`; null for what is no date. */
export function dayOf(text, today) {
  const date = readDate(text, Number(today.slice(0, 4)));
  if (!date) return null;
  const month = `${padded(date.year, 4)}-${padded(date.month, 2)}`;
  const day = date.day ?? (today.startsWith(month) ? Math.min(MIDDLE, Number(today.slice(8))) : MIDDLE);
  return `${month}-${padded(day, 2)}`;
}

/** "5/2019" or "9/6/2019": how it was understood. */
export function dateWords(text, today = new Date().toISOString()) {
  const date = readDate(text, Number(today.slice(0, 4)));
  return date ? [date.day, date.month, date.year].filter(Boolean).join("/") : "";
}
