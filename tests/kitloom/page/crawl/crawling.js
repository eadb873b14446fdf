// What a page shows and offers, read from its document alone; evaluated in the page under test.
(() => {
  const $$ = (selector, within = document) => [...within.querySelectorAll(selector)];
  const words = (element) => element.textContent.replace(/\s+/g, " ").trim();
  const partOf = (element) => element.closest("[data-part]");
  const seen = (element) => element.checkVisibility({ visibilityProperty: true });

  // where on it a click must land, or "" where it can be clicked
  function covered(element) {
    element.scrollIntoView({ block: "center", inline: "center" });
    const boxes = [...element.getClientRects()].filter((box) => box.width && box.height);
    if (!boxes.length) return "has no size";
    const inside = (box) => [0.5, 0.1, 0.9].flatMap((x) => [0.5, 0.04, 0.96].map((y) => [box.left + box.width * x, box.top + box.height * y]));
    for (const [x, y] of boxes.flatMap(inside)) {
      if (x < 0 || y < 0 || x >= innerWidth || y >= innerHeight) continue;
      const hit = document.elementFromPoint(x, y);
      if (hit && (element.contains(hit) || hit.contains(element) && hit.tagName === "LABEL")) return "";
    }
    return "is covered, or outside of the window";
  }

  // a file is chosen by the label of its field, which itself is out of sight
  function touched(element) {
    const place = element.matches(".unseen") ? document.querySelector(`label[for="${element.id}"]`) : element;
    return seen(place) ? covered(place) : "";
  }

  // every part's words, links and fields: of the document, or of a page that the server sent
  function signature(page) {
    const parts = $$("[data-part]", page).filter((part) => part.id !== "part-answer");
    return parts.map((part) => {
      const copy = part.cloneNode(true);
      for (const dressed of $$(".ruler, output, .unseen:empty", copy)) dressed.remove();
      const links = $$("a[href]", part).map((link) => link.getAttribute("href"));
      const forms = $$("form", part).map((form) => `${form.getAttribute("action")} ${[...new FormData(form)].map(([key, value]) => `${key}=${value.name ?? value}`).join(" ")}`);
      const sheets = $$("[data-sheet]", part).map((one) => one.getAttribute("src") ?? one.getAttribute("href"));
      return [part.id, words(copy), links.join(" "), forms.join(" | "), sheets.join(" ")].join("\n");
    });
  }

  window.crawling = {
    unfold() { for (const details of $$("details")) details.open = true; },

    // the parts in which this page and the one that the server sends differ
    differs(text) {
      const now = signature(document), fresh = signature(new DOMParser().parseFromString(text, "text/html"));
      if (now.length !== fresh.length) return ["the number of parts"];
      return now.filter((one, i) => one !== fresh[i]).map((one) => one.split("\n")[0]);
    },

    shows() {
      const text = (selector) => { const one = document.querySelector(selector); return one ? words(one) : ""; };
      const strips = {};
      for (const strip of $$(".strip")) strips[partOf(strip).id] = $$("a[aria-current] .name", strip).map(words).join(", ");
      return {
        strips,
        said: text("#part-gone") + text("#part-answer"),
        heads: Object.fromEntries($$("[data-part]").map((part) => [part.id, text(`#${part.id} h3`)])),
        open: $$(".drawer").map((drawer) => partOf(drawer).id),
        folds: Object.fromEntries($$("details > summary").map((one) => [words(one), one.parentElement.open])),
        swapped: [...new Set($$("#part-swap form input[name=colour], #part-swap form input[name=swap]").map((field) => field.value))],
        to: document.querySelector("#to")?.value ?? "",
        worn: $$(".wardrobe a[aria-current]").map((one) => one.firstChild.textContent.trim()).join(", "),
        sticker: $$(".stickers a[aria-current]").map((one) => one.id.replace("sticker-", "")).join(", "),
        row: $$("[id^=all-of-][aria-expanded=true]").map((one) => one.id.replace("all-of-", "")).join(", "),
        road: $$(".roads a[aria-current]").map((one) => new URL(one.href).searchParams.get("road")).join(", "),
        waits: $$("progress").length + $$("p, h3, .small, .strip a, .row .line").filter((one) => seen(one) && /…\s*$/.test(words(one))).length,
        wider: document.documentElement.scrollWidth - innerWidth,
        parts: $$("[id]").map((one) => one.id),
      };
    },

    links() {
      return $$("a[href]").map((link) => {
        const at = new URL(link.href.baseVal ?? link.href, location.href);
        const drawer = link.closest(".drawer");
        return {
          address: at.origin === location.origin ? at.pathname + at.search : at.href,
          part: decodeURIComponent(at.hash.slice(1)), here: at.pathname === location.pathname,
          words: link.getAttribute("aria-label") || words(link), saves: link.hasAttribute("download"),
          within: drawer ? partOf(drawer).id : "", fault: seen(link) && !link.matches(".skip") ? covered(link) : "",
        };
      });
    },

    // each way to send something: a button, or a field that is sent by itself
    controls() {
      const all = [];
      const scripted = document.documentElement.classList.contains("scripted");
      for (const place of $$("[data-part], main")) {
        const forms = $$("form", place).filter((form) => (partOf(form) ?? document.querySelector("main")) === place);
        forms.forEach((form, number) => {
          if (form.matches(".settings")) return; // test_settings.py sets each of their fields
          const fields = [...form.elements], data = [...new FormData(form)].filter(([key]) => key !== "back");
          const buttons = fields.filter((one) => one.matches("button:not([type=button]), input[type=image]") && !one.disabled);
          const button = buttons.find(seen);
          const add = (field, by) => all.push({
            part: place.id, form: number, action: form.getAttribute("action").split("#")[0], method: form.method, field: field ? fields.indexOf(field) : -1,
            kind: field ? `${field.tagName} ${field.type}` : "", accept: field?.accept ?? "", button: by ? fields.indexOf(by) : -1,
            names: [...data.map(([key]) => key), field ? field.name : ""].join(" "), data: data.map(([key, value]) => `${key}=${value.name ?? value}`).join(" "),
            words: by ? by.getAttribute("aria-label") || words(by) || by.alt || "" : field.id, within: partOf(form)?.querySelector(".drawer")?.contains(form) ? place.id : "",
            fold: words(form.closest("details")?.querySelector("summary") ?? document.createElement("i")), fault: touched(by ?? field),
          });
          const file = fields.find((one) => one.type === "file" && !one.webkitdirectory);
          if (file) { if (button || scripted) add(file, button); return; }
          const sends = fields.filter((one) => one.name && seen(one) && !one.disabled && one.matches("select, input:not([type=hidden], [type=image])"));
          if (button && (!sends.length || form.method === "get" || !fields.some((one) => one.matches("[data-send]")))) add(null, button);
          for (const field of sends) if (field.matches("[data-send], .repeat input") && (scripted || button)) add(field, scripted ? null : button);
        });
      }
      return all;
    },

    // what can be touched and does nothing: no form sends it, and no script listens
    dead() {
      if (document.documentElement.classList.contains("scripted")) return [];
      return $$("input:not([type=hidden]), select, button").filter((one) => seen(one) && !one.disabled)
        .filter((one) => !one.form || (!one.name && one.tagName !== "BUTTON")).map((one) => one.id || one.outerHTML.slice(0, 80));
    },

    element({ part, form, field, button }) {
      const place = document.getElementById(part) ?? document.querySelector("main");
      const forms = $$("form", place).filter((one) => (partOf(one) ?? document.querySelector("main")) === place);
      const at = forms[form].elements;
      return [field < 0 ? null : at[field], button < 0 ? null : at[button]];
    },

    // another value than the present one, such as a maker could choose
    other(field) {
      if (field.tagName === "SELECT") {
        const options = [...field.options].filter((one) => !one.selected && !one.disabled);
        return options.length ? options[0].value : null;
      }
      if (field.type === "range" || field.type === "number") return String(+field.value + (+field.value < +(field.max || 1e9) ? 1 : -1) * (+field.step || 1));
      const number = field.value.match(/\d+(\.\d+)?/);
      return number ? field.value.replace(number[0], String(+number[0] + 1)) : field.value + "x";
    },
  };
})();
