"use strict";
// What the pages do beyond links and forms. Everything here is an addition: without it every page still works.

// The slash leads to the search box, wherever one is not typing already.
document.addEventListener("keydown", (event) => {
  if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target.closest("input, textarea, select, [contenteditable]")) return;
  const box = document.querySelector("#ask, [data-search]");
  if (!box) return;
  event.preventDefault();
  box.focus();
  box.select();
});

// A joint of the drawing and its row in the list are one thing: pointing at either lights both.
const light = (event, on) => {
  const key = event.target.closest?.("[data-joint]")?.dataset.joint;
  if (!key) return;
  for (const twin of document.querySelectorAll(`[data-joint="${CSS.escape(key)}"]`)) twin.classList.toggle("lit", on);
};
for (const [begin, end] of [["pointerover", "pointerout"], ["focusin", "focusout"]]) {
  document.addEventListener(begin, (event) => light(event, true));
  document.addEventListener(end, (event) => light(event, false));
}

// After an answer came in place, the reader goes on at the question, or at the top of what changed.
document.addEventListener("htmx:afterSettle", (event) => {
  if (document.activeElement && document.activeElement !== document.body) return;
  const next = document.querySelector("[data-next-focus]") ?? event.detail.target;
  next?.focus?.({ preventScroll: true });
});

// Ticked steps of a job are kept on this device, by the code of the instruction, and survive a reload.
const ticks = () => {
  const list = document.querySelector("[data-ticks]");
  if (!list) return;
  const key = `job ${list.dataset.ticks}`;
  const boxes = [...list.querySelectorAll("[data-tick]")];
  let kept = [];
  try {
    kept = JSON.parse(localStorage.getItem(key) ?? "[]");
  } catch {
    return; // storage is refused: the boxes still tick, they are only not kept
  }
  for (const box of boxes) box.checked = kept.includes(box.dataset.tick);
  list.addEventListener("change", () => {
    const done = boxes.filter((box) => box.checked).map((box) => box.dataset.tick);
    try {
      localStorage.setItem(key, JSON.stringify(done));
    } catch {
      // full or refused: as above
    }
  });
};
ticks();
document.addEventListener("htmx:afterSettle", ticks);
