//! `sowrota trial` needs few trays: against setting in proportion to the last tray, on made-up machines.

mod trial;
use trial::*;

const SEEDS: u64 = 200;

#[test]
fn table() {
    println!(
        "| machine | noise | first p | first t | stays p | stays t | wrong p | wrong t | mean first p t | stays p t|"
    );
    for way in WAYS {
        for noise in [0.01, 0.02, 0.04, 0.06] {
            let run = |next: fn(&[sowrota::trial::Pair]) -> sowrota::trial::Setting| {
                let all: Vec<Course> = (0..SEEDS)
                    .map(|seed| course(way, noise, seed, next))
                    .collect();
                let med = |f: fn(&Course) -> usize| {
                    let mut v: Vec<usize> = all.iter().map(f).collect();
                    v.sort();
                    v[v.len() / 2]
                };
                let mean = |f: fn(&Course) -> usize| {
                    all.iter().map(f).sum::<usize>() as f64 / SEEDS as f64
                };
                (
                    med(|c| c.first),
                    med(|c| c.stays),
                    mean(|c| c.wrong),
                    mean(|c| c.first),
                    mean(|c| c.stays),
                )
            };
            let (p, t) = (run(in_proportion), run(|pairs| by_trial(pairs).0));
            println!(
                "| {way:?} | {noise} | {} | {} | {} | {} | {:.1} | {:.1} | {:.2} {:.2} | {:.1} {:.1} {}",
                p.0,
                t.0,
                p.1,
                t.1,
                p.2,
                t.2,
                p.3,
                t.3,
                p.4,
                t.4,
                if p.0 < t.0 || p.1 < t.1 || p.2 < t.2 {
                    "WORSE"
                } else {
                    ""
                }
            );
        }
    }
    // calibration
    for way in WAYS {
        for noise in [0.01, 0.02, 0.04, 0.06] {
            let (mut said, mut wrong, mut trays) = (0, 0, 0);
            for seed in 0..SEEDS {
                let (mut machine, mut setting) = Machine::new(way, noise, seed);
                let mut pairs = vec![];
                for n in 0..40 {
                    pairs.push(machine.weigh(setting));
                    let (set, advice) = by_trial(&pairs);
                    setting = set;
                    if advice.is_some_and(|a| a.met()) {
                        said += 1;
                        trays += n + 1;
                        if !machine.is_right(setting) {
                            wrong += 1;
                        }
                        break;
                    }
                }
            }
            println!(
                "{way:?} {noise}: said {said}, wrong {wrong}, mean trays {:.1}",
                trays as f64 / said.max(1) as f64
            );
        }
    }
}
