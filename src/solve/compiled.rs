//! The rules' postings, looked up once for every decision that could be taken, in a flat form that
//! the search can add and take away in a fraction of a microsecond.

use crate::nursery::{Nursery, OptionId, RunId};
use crate::rules::{Books, Posting, Supply, Taking, What};

/// An amount on a run of neighbouring slots. A slot is one resource on one day: `resource × days + day`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// First slot.
    pub from: u32,
    /// One past the last slot.
    pub until: u32,
    /// Amount on each.
    pub amount: i64,
}

/// Which way trays flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum FlowKind {
    Out,
    BackClean,
    BackDirty,
}

/// Trays that leave or come back on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Flow {
    pub kind: FlowKind,
    pub day: u32,
    pub trays: i64,
}

/// All that one decision posts.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bundle {
    /// On resources counted by day.
    pub stretches: Vec<Stretch>,
    /// On the tray stock.
    pub flows: Vec<Flow>,
}

/// Postings of everything that can be decided.
#[derive(Clone, Debug)]
pub struct Compiled {
    /// By option.
    pub options: Vec<Bundle>,
    /// By run: what it posts once.
    pub runs: Vec<Bundle>,
    /// By run × germination place: one stack.
    pub stacks: Vec<Bundle>,
    /// By run × germination place: its trial trays standing there.
    pub trials: Vec<Bundle>,
    /// By run: one bag of its seed.
    pub bags: Vec<Bundle>,
    /// By line × day: one millisecond of set-up.
    pub set_ups: Vec<Bundle>,
    /// Germination places.
    pub places: usize,
}

impl Compiled {
    /// Asks every rule about every decision.
    pub fn new(nursery: &Nursery, books: &Books) -> Compiled {
        let places = nursery.scenario.germination.len();
        let bundle = |what| bundle(nursery, books, what);
        let at_places = |what: fn(RunId, usize) -> What<'static>| {
            (0..nursery.runs.len())
                .flat_map(|run| (0..places).map(move |place| (run, place)))
                .map(|(run, place)| bundle(what(RunId(run), place)))
                .collect()
        };
        Compiled {
            options: nursery
                .options
                .iter()
                .map(|option| bundle(What::Option(option)))
                .collect(),
            runs: (0..nursery.runs.len())
                .map(|run| bundle(What::Run(RunId(run))))
                .collect(),
            bags: (0..nursery.runs.len())
                .map(|run| bundle(What::Bag(RunId(run))))
                .collect(),
            stacks: at_places(What::Stack),
            trials: at_places(What::TrialIn),
            set_ups: (0..nursery.scenario.lines.len())
                .flat_map(|line| (0..nursery.days).map(move |day| (line, day)))
                .map(|(line, day)| bundle(What::SetUp(line, day)))
                .collect(),
            places,
        }
    }

    /// What an option posts.
    pub fn option(&self, id: OptionId) -> &Bundle {
        &self.options[id.0]
    }
}

fn bundle(nursery: &Nursery, books: &Books, what: What<'_>) -> Bundle {
    let mut bundle = Bundle::default();
    for Posting {
        resource,
        taking,
        amount,
    } in books.postings(nursery, what)
    {
        let slot = |day: usize| (resource * nursery.days + day) as u32;
        let mut flow = |kind, day: usize| {
            bundle.flows.push(Flow {
                kind,
                day: day as u32,
                trays: amount,
            })
        };
        match taking {
            Taking::Hold(from, until) => {
                bundle.stretches.push(Stretch {
                    from: slot(from),
                    until: slot(from) + (until - from) as u32,
                    amount,
                });
            }
            Taking::Take(day) => {
                bundle.stretches.push(Stretch {
                    from: slot(day),
                    until: slot(day) + 1,
                    amount,
                });
            }
            Taking::Out(day) => flow(FlowKind::Out, day),
            Taking::BackClean(day) => flow(FlowKind::BackClean, day),
            Taking::BackDirty(day) => flow(FlowKind::BackDirty, day),
        }
    }
    merge(
        &mut bundle.stretches,
        |stretch| (stretch.from, stretch.until),
        |stretch| &mut stretch.amount,
    );
    merge(
        &mut bundle.flows,
        |flow| (flow.kind, flow.day),
        |flow| &mut flow.trays,
    );
    bundle
}

/// Those with the same key become one, with all their amounts.
fn merge<T, K: Ord>(all: &mut Vec<T>, key: impl Fn(&T) -> K, amount: impl Fn(&mut T) -> &mut i64) {
    all.sort_by_key(&key);
    all.dedup_by(|next, kept| {
        let same = key(next) == key(kept);
        if same {
            *amount(kept) += *amount(next);
        }
        same
    });
}

/// What there is on every slot: the flat form of the resources that are counted by day.
#[derive(Clone, Debug)]
pub struct Slots {
    /// There.
    pub there: Vec<i64>,
    /// Can be bought besides.
    pub buyable: Vec<i64>,
    /// Thousandths an hour of what is bought.
    pub price_per_h: Vec<i64>,
    /// About what one tray takes, by resource.
    pub per_tray: Vec<i64>,
}

impl Slots {
    /// Lays the resources out day by day. The tray stock keeps empty slots.
    pub fn new(nursery: &Nursery, books: &Books) -> Slots {
        let size = books.resources.len() * nursery.days;
        let mut slots = Slots {
            there: Vec::with_capacity(size),
            buyable: Vec::with_capacity(size),
            price_per_h: Vec::with_capacity(size),
            per_tray: books
                .resources
                .iter()
                .map(|resource| resource.per_tray.max(1))
                .collect(),
        };
        for resource in &books.resources {
            match &resource.supply {
                Supply::Daily {
                    there,
                    buyable,
                    price_per_h,
                }
                | Supply::Weekly {
                    there,
                    buyable,
                    price_per_h,
                    ..
                } => {
                    slots.there.extend(there);
                    slots.buyable.extend(buyable);
                    slots.price_per_h.extend(price_per_h);
                    continue;
                }
                Supply::Once(amount) => {
                    slots
                        .there
                        .extend((0..nursery.days).map(|day| if day == 0 { *amount } else { 0 }));
                }
                Supply::Trays(_) => slots.there.extend(vec![0; nursery.days]),
            }
            slots.buyable.extend(vec![0; nursery.days]);
            slots.price_per_h.extend(vec![0; nursery.days]);
        }
        slots
    }
}
