//! Points of the whole-lot program are plans: for choices of lots in made-up nurseries, the program with these lots has a point if and only
//! if the search's books find nothing beyond a limit, and its least cost is theirs.

use crate::common::dice::Dice;
use crate::{nurseries, rest};
use sowrota::nursery::{LotId, Nursery, OptionId};
use sowrota::solve::lp;
use sowrota::solve::program::ColumnTag;
use sowrota::solve::relax::Relaxation;
use sowrota::solve::relax::whole::{Links, Whole};
use sowrota::solve::state::{Ground, State};
use std::collections::BTreeMap;

/// All choices of a nursery are tried when they are no more than this.
const ALL: usize = 60;
/// Else so many of each sort.
const SOME: usize = 8;

type Choice = Vec<Option<OptionId>>;

/// Choices to try: all, or some by chance: each lot for itself, sown close together, and sound ones with a lot changed.
fn choices(ground: &Ground<'_>, dice: &mut Dice) -> Vec<Choice> {
    let nursery = ground.nursery;
    let lots = nursery.lots.len();
    let of_lot = |lot: usize| -> Vec<Option<OptionId>> {
        nursery
            .options_of(LotId(lot))
            .map(Some)
            .chain([None])
            .collect()
    };
    let ways: Vec<Vec<Option<OptionId>>> = (0..lots).map(of_lot).collect();
    let many = ways
        .iter()
        .fold(1usize, |all, of| all.saturating_mul(of.len()));
    if many <= ALL {
        let nth = |mut at: usize| -> Choice {
            let one = |of: &Vec<Option<OptionId>>| {
                let pick = of[at % of.len()];
                at /= of.len();
                pick
            };
            ways.iter().map(one).collect()
        };
        return (0..many).map(nth).collect();
    }
    let mut all = Vec::new();
    let mut sound = sowrota::solve::list::list(ground).choice().to_vec();
    all.push(sound.clone());
    for _ in 0..SOME {
        all.push(ways.iter().map(|of| *dice.pick(of)).collect());
        // Close together: the nearest sow day to that of one of them, by chance among equals.
        let of_lead = dice.between(0, lots as i64 - 1) as usize;
        let lead = dice
            .pick(&ways[of_lead])
            .map(|id| nursery.run(nursery.option(id).run));
        let close = |of: &Vec<Option<OptionId>>| {
            let lead = lead?;
            let far = |id: OptionId| {
                let run = nursery.run(nursery.option(id).run);
                (run.sow.since(lead.sow).abs(), run.line() != lead.line())
            };
            let least = of.iter().flatten().map(|id| far(*id)).min()?;
            let near: Vec<OptionId> = of
                .iter()
                .flatten()
                .copied()
                .filter(|id| far(*id) == least)
                .collect();
            Some(*dice.pick(&near))
        };
        all.push(ways.iter().map(close).collect());
        let lot = dice.between(0, lots as i64 - 1) as usize;
        let mut other = sound.clone();
        other[lot] = *dice.pick(&ways[lot]);
        if State::of(ground, &other).beyond() == 0 {
            sound = other.clone();
        }
        all.push(other);
    }
    all
}

/// What was tried.
#[derive(Default, Debug)]
struct Tried {
    sound: usize,
    unsound: usize,
    /// Nurseries whose program has such a column.
    with: BTreeMap<&'static str, usize>,
}

impl Tried {
    fn note(&mut self, whole: &Whole) {
        let mut seen: Vec<&str> = Vec::new();
        for column in &whole.program().columns {
            seen.push(match column.tag {
                ColumnTag::Sows(..) => "sows",
                ColumnTag::Turn(_) => "turn",
                ColumnTag::First(_) => "first",
                ColumnTag::Trial(..) => "trial",
                ColumnTag::Band(..) => "band",
                ColumnTag::Split(_) => "split",
                ColumnTag::Casual(..) => "casual",
                ColumnTag::Level(..) => "level",
                ColumnTag::Bought(..) => "bought",
                ColumnTag::Regular(_) => "regular",
                ColumnTag::Left(_) => "left",
                ColumnTag::WashTime(_) => "wash time",
                _ => continue,
            });
        }
        for row in &whole.program().rows {
            seen.push(match row.tag {
                sowrota::solve::program::RowTag::WeekBought(..) => "week",
                sowrota::solve::program::RowTag::MostBought(..) => "most bought",
                sowrota::solve::program::RowTag::Order(..) => "order",
                sowrota::solve::program::RowTag::Seeded(..) => "seeded",
                _ => continue,
            });
        }
        seen.sort_unstable();
        seen.dedup();
        for one in seen {
            *self.with.entry(one).or_default() += 1;
        }
    }
}

/// Tries choices of a nursery; faults in words.
fn try_one(seed: u64, links: Links, tried: &mut Tried) -> Vec<String> {
    let nursery = Nursery::new(&nurseries::harder(seed));
    let ground = Ground::new(&nursery);
    let whole = Whole::new(&ground, links);
    tried.note(&whole);
    let program = whole.program();
    let mut faults = Vec::new();
    let mut cheapest = f64::INFINITY;
    for choice in choices(&ground, &mut Dice::new(seed)) {
        let mut state = State::of(&ground, &choice);
        let sound = state.beyond() == 0;
        let mut bounds: Vec<(f64, f64)> = program
            .columns
            .iter()
            .map(|column| (column.lower, column.upper))
            .collect();
        for (at, column) in whole.grow().iter().enumerate() {
            let lot = nursery.options[at].lot;
            let there = f64::from(u8::from(choice[lot.0] == Some(OptionId(at))));
            bounds[*column] = (there, there);
        }
        let least = rest::least(program, bounds);
        if !sound {
            tried.unsound += 1;
            if let Some((cost, _)) = least {
                faults.push(format!(
                    "seed {seed}: {choice:?} is no plan ({:?}) and a point of {cost}",
                    state.overfull()
                ));
            }
            continue;
        }
        tried.sound += 1;
        let money = state.money() as f64 / 1_000.0;
        cheapest = cheapest.min(money);
        // Half a thousandth for each time something is bought, and for the shortage.
        let rounding = 0.0005 * (state.bought().len() + 1) as f64 + 1e-6;
        let point = whole.point(&state);
        let (off, row) = program.worst_violation(&point);
        if off > 1e-9 {
            faults.push(format!(
                "seed {seed}: {choice:?} is off by {off} in {row:?}"
            ));
        }
        let columns = program.columns.iter().zip(&point);
        if let Some((column, value)) = columns
            .into_iter()
            .find(|(column, value)| column.whole && value.fract() != 0.0)
        {
            faults.push(format!("seed {seed}: {:?} is {value}", column.tag));
        }
        let at_point = program.cost(&point);
        if (at_point - money).abs() > rounding {
            faults.push(format!(
                "seed {seed}: {choice:?} costs {money}, its point {at_point}"
            ));
        }
        match least {
            None => faults.push(format!("seed {seed}: {choice:?} is a plan and no point")),
            Some((cost, _)) if (cost - money).abs() > rounding => {
                faults.push(format!(
                    "seed {seed}: {choice:?} costs {money}, a point with its lots {cost}"
                ));
            }
            Some(_) => {}
        }
    }
    let relaxation = Relaxation::new(&ground);
    if let Some(solved) = lp::solve(&relaxation.program, &[]) {
        let bound = solved.bound.unwrap_or(0.0);
        if bound > cheapest + 0.01 {
            faults.push(format!(
                "seed {seed}: the relaxation bounds by {bound}, a plan costs {cheapest}"
            ));
        }
    }
    faults
}

#[test]
fn points_are_plans_and_plans_are_points() {
    let mut tried = Tried::default();
    let mut faults = Vec::new();
    for seed in 4_000..4_600 {
        let links = [Links::Both, Links::ByLot, Links::Summed][(seed % 3) as usize];
        faults.extend(try_one(seed, links, &mut tried));
    }
    assert!(
        faults.is_empty(),
        "{tried:?}\n{} faults: {:#?}",
        faults.len(),
        &faults[..faults.len().min(8)]
    );
    println!("{tried:?}");
    assert!(tried.sound >= 400 && tried.unsound >= 400, "{tried:?}");
}
