(() => {
  "use strict";
  // What is ticked stays so on this telephone; where it may not be kept, boxes still work.
  const boxes = document.querySelectorAll("input[data-tick]");
  const named = (box) => `${document.title}: ${box.dataset.tick}`;
  try {
    for (const box of boxes) {
      box.checked = localStorage.getItem(named(box)) === "done";
      box.addEventListener("change", () => {
        if (box.checked) localStorage.setItem(named(box), "done");
        else localStorage.removeItem(named(box));
      });
    }
  } catch { /* A browser that keeps nothing of a file says so by an error. */ }
})();
