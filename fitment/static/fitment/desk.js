"use strict";
// Keys of the desk. Each stands beside what it does; none works while one types, and all can be turned off.

const KEPT = "desk keys";
const typing = (target) => target.closest("input:not([type=checkbox]), textarea:not([readonly]), select, [contenteditable]");
const keysOn = () => {
  try {
    return localStorage.getItem(KEPT) !== "off";
  } catch {
    return true; // storage is refused: the switch works until the page is left
  }
};
let on = keysOn();

const prepare = () => {
  document.documentElement.classList.toggle("with-keys", on);
  for (const line of document.querySelectorAll("[data-keys-switch]")) {
    line.hidden = false;
    line.querySelector("input").checked = on;
  }
  for (const button of document.querySelectorAll("[data-copy]")) button.hidden = false;
};

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && event.target.id === "desk-ask") {
    event.target.blur();
    return;
  }
  if (!on || event.ctrlKey || event.metaKey || event.altKey || event.isComposing || event.repeat) return;
  if (event.key.length !== 1 || typing(event.target)) return;
  const found = document.querySelector(`[data-key="${CSS.escape(event.key)}"]`);
  if (!found || found.closest("[hidden]")) return;
  event.preventDefault();
  found.click();
});

document.addEventListener("change", (event) => {
  if (!event.target.closest("[data-keys-switch]")) return;
  on = event.target.checked;
  try {
    localStorage.setItem(KEPT, on ? "on" : "off");
  } catch {
    // as above
  }
  prepare();
});

// Copying says that it is done, where one looks and to screen readers.
document.addEventListener("click", async (event) => {
  const button = event.target.closest("[data-copy]");
  if (!button) return;
  const text = document.getElementById(button.dataset.copy);
  try {
    await navigator.clipboard.writeText(text.value);
  } catch {
    text.select(); // no clipboard here: it is marked, to be copied by hand
    return;
  }
  const before = [...button.childNodes];
  button.replaceChildren("Copied");
  document.getElementById("announce").textContent = "The answer is copied.";
  setTimeout(() => { button.replaceChildren(...before); }, 1500);
});

// What was said is taken over: the next key answers the question, so the box lets go of them.
document.addEventListener("htmx:afterSettle", (event) => {
  prepare();
  if (event.detail.requestConfig?.verb !== "post" || document.activeElement?.id !== "desk-ask") return;
  const next = document.querySelector("[data-next-focus]") ?? document.getElementById("desk");
  next?.focus({ preventScroll: true });
});
prepare();
