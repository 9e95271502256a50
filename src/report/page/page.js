"use strict";
(function () {
  const data = JSON.parse(document.getElementById("data").textContent);
  const get = (id) => document.getElementById(id);
  const make = (tag, text, inside) => {
    const made = document.createElement(tag);
    if (text !== undefined && text !== null) made.textContent = text;
    (inside || []).forEach((one) => made.append(one));
    return made;
  };

  // The window for what is clicked.
  const story = get("story");
  const show = (title, inside, address) => {
    get("story-head").textContent = title;
    get("story-body").replaceChildren(...inside);
    if (!story.open) story.showModal();
    story.scrollTop = 0;
    get("story-head").focus();
    history.replaceState(null, "", address);
  };
  story.addEventListener("close", () => history.replaceState(null, "", location.pathname + location.search));
  story.addEventListener("click", (event) => {
    if (event.target === story || event.target.closest(".close")) story.close();
  });

  const spoken = (day) => {
    const at = new Date(day + "T00:00:00Z");
    const name = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"][at.getUTCDay()];
    const month = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"][at.getUTCMonth()];
    return name + " " + at.getUTCDate() + " " + month;
  };
  const plus = (day, days) => {
    const at = new Date(day + "T00:00:00Z");
    at.setUTCDate(at.getUTCDate() + days);
    return at.toISOString().slice(0, 10);
  };

  const showDay = (day) => {
    if (!/^\d{4}-\d\d-\d\d$/.test(day)) return;
    const parts = Object.hasOwn(data.sheets, day) ? data.sheets[day] : [];
    const inside = parts.flatMap(([title, lines]) => {
      const clock = lines.some(([times, people]) => times || people);
      const list = clock
        ? make("table", null, [make("tbody", null, lines.map((cells) => make("tr", null, cells.map((cell) => make("td", cell)))))])
        : make("ul", null, lines.map((cells) => make("li", cells[2])));
      return [make("h3", title), list];
    });
    if (!inside.length) inside.push(make("p", "No work is planned on this day."));
    show("Sheet of " + spoken(day), inside, "#day-" + day);
  };

  const showLot = (at) => {
    const lot = data.lots[at];
    if (!lot) return;
    const list = (pairs) => make("dl", null, pairs.flatMap(([name, words]) => [make("dt", name), make("dd", words)]));
    const inside = [make("p", lot.grower + ", " + lot.kind + ", " + lot.trays + " trays"), list(lot.story)];
    if (lot.cost.length) inside.push(make("h3", "What it costs by itself"), list(lot.cost));
    if (lot.why) inside.push(make("h3", "Its other days"), make("ul", null, lot.why.map((line) => make("li", line))));
    show(lot.name, inside, "#lot-" + at);
  };

  document.addEventListener("click", (event) => {
    const on = event.target;
    const lot = on.closest("[data-lot]");
    if (lot) return showLot(Number(lot.dataset.lot));
    const day = on.closest("[data-day]");
    if (day) return showDay(day.dataset.day);
    const picture = on.closest("svg[data-count]");
    if (!picture) return undefined;
    const box = picture.getBoundingClientRect();
    const count = Number(picture.dataset.count);
    const inside = (part) => Math.min(count - 1, Math.max(0, Math.floor(part * count)));
    if (picture.dataset.from) return showLot(Number(picture.dataset.from) + inside((event.clientY - box.top) / box.height));
    return showDay(plus(picture.dataset.first, inside((event.clientX - box.left) / box.width) * Number(picture.dataset.step)));
  });
  get("open-day").addEventListener("click", () => showDay(get("pick").value));

  // Up and down go from lot to lot.
  document.addEventListener("keydown", (event) => {
    const here = document.activeElement;
    if (event.key === "/" && !/^(INPUT|SELECT|TEXTAREA)$/.test(here.tagName) && !story.open) {
      event.preventDefault();
      get("search").focus();
    }
    if (!here.dataset.lot || !here.classList.contains("lot")) return;
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    const next = step && document.querySelector('.lot[data-lot="' + (Number(here.dataset.lot) + step) + '"]');
    if (next) {
      event.preventDefault();
      next.focus();
    }
  });

  // Fields: search, choose, sort; rows are made when they are wanted.
  const STEP = 100;
  const keys = ["name", "grower", "kind", "trays", "sow", "day", "age", "last", "told"];
  const plain = (text) => text.toLocaleLowerCase("en").normalize("NFKD").replace(/\p{M}/gu, "");
  const texts = data.lots.map((lot) => plain([lot.name, lot.grower, lot.kind, lot.season || ""].join(" ")));
  const body = document.querySelector("#table tbody");
  let sort = { key: "day", down: false };
  let found = [];
  let shown = 0;
  const cell = (lot, at, key) => {
    if (key === "name") {
      const button = make("button", lot.name);
      button.type = "button";
      button.className = "day";
      button.dataset.lot = at;
      return make("td", null, [button]);
    }
    if (key === "told") return make("td", lot.told ? "yes" : "no");
    if (key === "sow" || key === "day" || key === "last") return make("td", lot[key] ? spoken(lot[key]) : "");
    return make("td", lot[key]);
  };
  const more = (count) => {
    const rows = found.slice(shown, shown + count).map((at) => make("tr", null, keys.map((key) => cell(data.lots[at], at, key))));
    body.append(...rows);
    shown += rows.length;
    get("more").hidden = shown >= found.length;
    get("more").textContent = "show more (" + (found.length - shown) + ")";
  };
  const list = () => {
    const words = plain(get("search").value).split(/\s+/).filter(Boolean);
    const [grower, kind] = [get("grower").value, get("kind").value];
    const fits = (lot, at) => (!grower || lot.grower === grower) && (!kind || lot.kind === kind) && words.every((word) => texts[at].includes(word));
    found = data.lots.map((lot, at) => at).filter((at) => fits(data.lots[at], at));
    const by = (one, other) => (typeof one === "string" && typeof other === "string" ? one.localeCompare(other, "en", { numeric: true }) : (one ?? "") < (other ?? "") ? -1 : (one ?? "") > (other ?? "") ? 1 : 0);
    const turn = sort.down ? -1 : 1;
    found.sort((one, other) => turn * by(data.lots[one][sort.key], data.lots[other][sort.key]) || one - other);
    body.replaceChildren();
    shown = 0;
    more(STEP);
    const trays = found.reduce((sum, at) => sum + data.lots[at].trays, 0);
    get("found").textContent = found.length + (found.length === 1 ? " lot, " : " lots, ") + trays + " trays";
    document.querySelectorAll("#table th").forEach((head) => {
      const mine = head.firstChild.dataset.key === sort.key;
      if (mine) head.setAttribute("aria-sort", sort.down ? "descending" : "ascending");
      else head.removeAttribute("aria-sort");
    });
  };
  document.querySelectorAll(".sort").forEach((button) => button.addEventListener("click", () => {
    const key = button.dataset.key;
    sort = { key, down: sort.key === key && !sort.down };
    list();
  }));
  ["search", "grower", "kind"].forEach((id) => get(id).addEventListener("input", list));
  get("more").addEventListener("click", () => more(STEP));
  addEventListener("beforeprint", () => more(found.length));
  list();

  const go = () => {
    const [, what, which] = /^#(day|lot)-([\d-]+)$/.exec(location.hash) || [];
    if (what === "day") showDay(which);
    if (what === "lot") showLot(Number(which));
  };
  addEventListener("hashchange", go);
  go();
})();
