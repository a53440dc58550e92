// What every page does: remember the language, keep the pages of a visit for a yard without signal, open and hide parts.

for (const button of document.querySelectorAll("[data-language]")) {
  button.addEventListener("click", () => {
    const address = new URL(location.href);
    address.searchParams.set("lang", button.dataset.language);
    // the language is no part of a visit's address: it is remembered, then the page is asked for as it was
    fetch(address, { headers: { Accept: "text/html" } }).finally(() => location.reload());
  });
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-reveal]");
  if (!button) return;
  const open = button.getAttribute("aria-expanded") !== "true";
  button.setAttribute("aria-expanded", String(open));
  for (const part of document.querySelectorAll(`[data-revealed="${button.dataset.reveal}"]`)) part.hidden = !open;
  if (button.dataset.keep) document.cookie = `${button.dataset.keep}=${open ? 0 : 1}; path=/; max-age=31536000; SameSite=Lax`;
  if (button.dataset.open && button.dataset.closed) {
    button.textContent = open ? button.dataset.open : button.dataset.closed;
  }
});

// The address of this page: handed to the phone's own sharing, or copied.
for (const button of document.querySelectorAll("[data-copy]")) {
  if (!navigator.share && !navigator.clipboard) continue;
  button.hidden = false;
  button.addEventListener("click", async () => {
    try {
      if (navigator.share) return await navigator.share({ url: location.href });
      await navigator.clipboard.writeText(location.href);
      button.nextElementSibling.textContent = button.dataset.copy;
    } catch (error) {
      if (error.name === "AbortError") return; // whoever shares changed their mind
      button.nextElementSibling.textContent = location.href; // refused: then it can be read
    }
  });
}

document.querySelector('form[action="/sign-out"]')?.addEventListener("submit", () => caches.delete("visits"));

if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register("/worker.js", { scope: "/" });
}
