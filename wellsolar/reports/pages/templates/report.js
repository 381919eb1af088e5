(() => {
  "use strict";
  // The page is whole without this: here its long parts are folded, and it can be searched.
  const folds = [...document.querySelectorAll("main details")];
  const shut = folds.filter((each) => each.hasAttribute("data-shut"));
  const target = () => document.getElementById(decodeURIComponent(location.hash.slice(1)));
  const unfold = (place) => {
    for (let at = place; at; at = at.parentElement) if (at.tagName === "DETAILS") at.open = true;
  };
  const reach = () => {
    const place = location.hash ? target() : null;
    if (!place) return;
    unfold(place);
    place.scrollIntoView();
  };
  shut.forEach((each) => { each.open = false; });
  reach();
  addEventListener("hashchange", reach);

  // Width and height of what a sheet has room for within the margins of the style sheet, in pixels,
  // rounded up as browsers do.
  const PAPERS = { letter: [726, 962], a4: [704, 1029] };
  // A sheet can't be asked for its number. Columns as large as a sheet break where sheets do: the
  // page is laid out in them by the rules for paper, and each heading's column is its sheet.
  const number = (paper) => {
    const [width, height] = PAPERS[paper];
    let sheets = 0;
    for (const part of document.querySelectorAll(".part")) {
      part.style.cssText = `width: ${width}px; height: ${height}px; columns: ${width}px; column-gap: 0; column-fill: auto;`;
      const { left } = part.getBoundingClientRect();
      for (const line of part.querySelectorAll("[data-to]")) {
        const to = document.getElementById(line.dataset.to);
        // Its first place may be below a figure that leaves no room for its words.
        const head = [...(to.querySelector("h4") ?? to).getClientRects()].at(-1);
        const column = Math.floor((head.left - left + 1) / width);
        line.querySelector(`.on-${paper}`).textContent = sheets + column + 1;
      }
      sheets += Math.round(part.scrollWidth / width);
      part.style.cssText = "";
    }
  };
  // What a sheet holds changes with what a search has left out alone.
  let numbered = false;
  const numberAll = () => {
    if (numbered) return;
    const rules = [...document.styleSheets].flatMap((sheet) =>
      [...sheet.cssRules].filter((rule) => rule instanceof CSSMediaRule));
    const media = rules.map((rule) => rule.media.mediaText);
    rules.forEach((rule, at) => { rule.media.mediaText = media[at] === "print" ? "all" : "not all"; });
    Object.keys(PAPERS).forEach(number);
    rules.forEach((rule, at) => { rule.media.mediaText = media[at]; });
    numbered = true;
  };

  let before = null;
  const keep = () => folds.map((each) => each.open);
  const restore = (open) => folds.forEach((each, at) => { each.open = open[at]; });
  addEventListener("beforeprint", () => {
    before = keep();
    folds.forEach((each) => { each.open = true; });
    // Sheets have no numbers where a browser does not print what stands in their margins.
    if ("CSSMarginRule" in window) numberAll();
  });
  addEventListener("afterprint", () => { if (before) restore(before); });

  const place = document.querySelector("[role=search]");
  const box = place.querySelector("input");
  const told = place.querySelector("output");
  const LEAVES = "tbody.verdict, tbody.one > tr, figure, dl > div, li, .prose";
  let leaves = null;
  let rest = null;
  const gather = () => {
    rest = keep();
    const heads = new Map();
    const head = (section) => {
      if (!heads.has(section)) {
        const title = section && section.querySelector("h2, h3, h4");
        heads.set(section, title ? title.textContent.toLowerCase() : "");
      }
      return heads.get(section);
    };
    leaves = [...document.querySelectorAll("main")].flatMap((main) =>
      [...main.querySelectorAll(LEAVES)].map((each) =>
        [each, `${head(each.closest("section"))} ${each.textContent.toLowerCase()}`]));
  };
  const search = () => {
    const words = box.value.toLowerCase().split(/\s+/).filter(Boolean);
    if (!leaves) gather();
    let found = 0;
    for (const [each, text] of leaves) {
      const fits = words.every((word) => text.includes(word));
      each.hidden = !fits;
      found += fits;
    }
    for (const group of document.querySelectorAll("main section, main .scroll, main table")) {
      group.hidden = words.length > 0 && !group.querySelector(
        "tbody.verdict:not([hidden]), tbody.one > tr:not([hidden]), figure:not([hidden])," +
        "dl > div:not([hidden]), li:not([hidden]), .prose:not([hidden])");
    }
    if (words.length) folds.forEach((each) => { each.open = true; });
    else restore(rest);
    told.textContent = words.length ? `${found} found` : "";
    if (!words.length) leaves = null;
    numbered = false;
  };
  box.addEventListener("input", search);
  place.hidden = false;
})();
