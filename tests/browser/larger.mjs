// Makes a larger nursery from a planned one: everything but the crews is repeated under other names, so that each copy goes exactly as
// the first. node larger.mjs PLAN.json COPIES TO.json
import { readFileSync, writeFileSync } from "node:fs";

const named = ["fields", "not_firm", "kinds", "lines", "germination", "beds", "planters", "growers", "blocks", "agents", "travel_groups", "soil_stores"];

/** A plan with `copies` of everything, each copy under names of its own. */
export function larger(plan, copies) {
  const one = structuredClone(plan);
  one.scenario.staff = [];
  const ids = new Set(named.flatMap((list) => (one.scenario[list] || []).map((thing) => thing.id)));
  one.runs.forEach((run) => ids.add(run.id));
  one.scenario.fields.forEach((field) => ids.add(field.grower));
  const copy = (value, mark) => {
    if (typeof value === "string") return ids.has(value) ? value + mark : value;
    if (Array.isArray(value)) return value.map((inside) => copy(inside, mark));
    if (value && typeof value === "object") return Object.fromEntries(Object.entries(value).map(([key, inside]) => [key, key === "calendar" || key === "crew" ? inside : copy(inside, mark)]));
    return value;
  };
  const all = structuredClone(one);
  for (let at = 2; at <= copies; at++) {
    const mark = "-" + at;
    named.concat("pins", "told", "seed_stores").forEach((list) => {
      const more = copy(one.scenario[list] || [], mark);
      if (all.scenario[list]) all.scenario[list].push(...more);
    });
    all.scenario.trays.stock += one.scenario.trays.stock;
    all.scenario.trays.wash_trays_per_h += one.scenario.trays.wash_trays_per_h;
    ["runs", "deliveries", "shortfalls"].forEach((list) => all[list].push(...copy(one[list], mark)));
  }
  // One crew, as much larger.
  all.scenario.crews.forEach((crew) => (crew.people *= copies));
  all.people.forEach((week) => ["people", "casual", "needed_minutes", "shift_minutes", "bought_minutes"].forEach((key) => (week[key] *= copies)));
  all.bought.forEach((time) => (time.minutes *= copies));
  all.washing.forEach((entry) => (entry.trays *= copies));
  return all;
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const [, , from, copies, to] = process.argv;
  writeFileSync(to, JSON.stringify(larger(JSON.parse(readFileSync(from, "utf8")), Number(copies))));
}
