//! Plans on the example bikes: each is checked whole, no cheaper one exists among all that can be put
//! together, and what is said to force a purchase does.

use std::sync::OnceLock;

use compat_core::bike::{Wishes, read_wishes};
use compat_core::solve::check;
use compat_core::solve::plan::{Act, Asked, Planned, Relaxed, Why, plan};
use compat_core::{Bike, Catalog, Files, Job, Options, Stock, Verdict};

use super::search::Dice;

pub(crate) fn catalog() -> &'static Catalog {
    static CATALOG: OnceLock<Catalog> = OnceLock::new();
    CATALOG.get_or_init(Catalog::compiled)
}

pub(crate) const TRAIL: &[u8] = include_bytes!("../../examples/trail.toml");
pub(crate) const CITY: &[u8] = include_bytes!("../../examples/city.toml");
pub(crate) const BIN: &str = include_str!("../../examples/bin.csv");
pub(crate) const PRICES: &str = include_str!("../../examples/prices.csv");

pub(crate) fn bike(bytes: &[u8], more: &[&str]) -> Bike {
    let mut job = Job::new(catalog());
    let mut bike = job.bike("bike.toml", bytes).unwrap();
    for line in more {
        let mut faults = compat_core::Faults::default();
        let set = job.settings("set", line, &mut faults);
        job.set(&mut bike, None, &set).unwrap();
    }
    bike
}

pub(crate) fn stock(text: &str) -> Stock {
    Job::new(catalog())
        .stock("bin.csv", text.as_bytes())
        .unwrap()
}

pub(crate) fn wishes(text: &str) -> Wishes {
    read_wishes(
        catalog(),
        &mut Files::default(),
        "wishes.toml",
        text.as_bytes(),
    )
    .unwrap()
}

pub(crate) fn asked<'a>(
    bike: &'a Bike,
    wishes: &'a Wishes,
    bin: Option<&'a Stock>,
    list: Option<&'a Stock>,
    labour: &'a compat_core::catalog::Labour,
) -> Asked<'a> {
    Asked {
        bike,
        wishes,
        bin,
        list,
        labour,
        strict: false,
        unmeasured: false,
        worth: true,
        next: 0,
        steps: 5_000_000,
        stop: &|_| false,
    }
}

pub(crate) fn planned(bike: &Bike, wishes: &Wishes, bin: &Stock, list: Option<&Stock>) -> Planned {
    let labour = compat_core::catalog::Labour::usual(catalog());
    plan(catalog(), &asked(bike, wishes, Some(bin), list, &labour)).unwrap()
}

pub(crate) const EASY: &str = "keep = [\"rear_hub\"]\nmay_go = [\"front_derailleur\"]\n\
                    cassette = { largest_cog = \"at least 46\" }";
pub(crate) const FRAME: &[&str] = &["frame.largest_single_ring=34", "frame.chain_line=48.8"];

#[test]
fn the_upgrade_is_checked_whole_and_every_wish_holds() {
    let bike = bike(TRAIL, FRAME);
    let (wishes, bin, list) = (wishes(EASY), stock(BIN), stock(PRICES));
    let planned = planned(&bike, &wishes, &bin, Some(&list));
    assert!(planned.proved);
    let best = &planned.plans[0];
    let again = check(catalog(), &bike, Some(&best.swap), Options::default());
    assert!(again.verdict <= Verdict::FitsWith);
    let (after, _) = bike.with(&best.swap);
    let cogs = after
        .part(catalog().slot_named("cassette").unwrap())
        .unwrap();
    let most = catalog().body(cogs.kind).dimension("largest_cog").unwrap();
    let most = cogs.entries[most].deciding().unwrap().cases.span().unwrap();
    assert!(most.low >= 46);
    assert!(
        best.steps
            .iter()
            .all(|step| !matches!(step.why, Why::Unknown))
    );
}

#[test]
fn a_line_gives_no_more_adaptors_than_it_has() {
    let bike = bike(
        b"[frame]\n[fork]\n[front_hub]\nrotor_mount = \"center lock\"\naxle = \"QR 100\"\n\
          [rear_hub]\nrotor_mount = \"center lock\"\naxle = \"QR 135\"\n",
        &[],
    );
    let wishes = wishes("change = [\"front_rotor\", \"rear_rotor\"]");
    let list = |count: u32| {
        format!(
            "id,kind,quantity,price,fixing,diameter,lockring,mount\n\
             R1,rotor,2,20,six_bolt,160,,\n\
             A1,rotor_adaptor,{count},9,center_lock,,inner,six_bolt\n"
        )
    };
    let labour = compat_core::catalog::Labour::usual(catalog());
    for (count, dearer) in [(1, labour.adaptor - 900), (2, 0)] {
        let bin = stock(&list(count));
        let mut asked = asked(&bike, &wishes, Some(&bin), None, &labour);
        asked.unmeasured = true;
        let planned = plan(catalog(), &asked).unwrap();
        let best = &planned.plans[0];
        let own = best.adaptors.iter().filter(|one| one.unit.is_some());
        assert_eq!((best.adaptors.len(), own.count()), (2, count as usize));
        let work: i64 = best.steps.iter().map(|step| step.labour).sum();
        assert_eq!(best.weight.money - work, 4000 + 1800 + dearer, "{count}");
    }
}

pub(crate) fn report(bike: &Bike, wishes: &Wishes, bin: &Stock) -> compat_core::report::PlanReport {
    let labour = compat_core::catalog::Labour::usual(catalog());
    let job = Job::new(catalog());
    job.plan(&asked(bike, wishes, Some(bin), None, &labour))
        .unwrap()
}

#[test]
fn a_plan_says_what_is_needed_beside_the_lists_and_what_the_old_part_was() {
    let five = include_bytes!("../cases/five-facts.toml");
    let more = ["frame.seat_tube_free_depth=300", "saddle.rails=round 7 mm"];
    let bike = bike(five, &more);
    let bin = stock(
        "id,kind,size,drop,stack,least_insertion,actuation,cable_head,clamp\n\
         D1,seatpost,30.9x400,125,45,90,internal cable,head at the post,two-bolt\n",
    );
    let report = report(
        &bike,
        &wishes("seatpost = { drop = \"at least 125\" }"),
        &bin,
    );
    let best = &report.plans[0];
    assert_eq!(best.replaced, ["seatpost 31.6"]);
    // The lever lies in no list: it is bought at the usual price, and stands in the sum.
    let lever = best.buy.iter().find(|step| step.slot == "dropper remote");
    let lever = lever.expect("the lever is bought");
    assert!(lever.name.starts_with("a cable lever"), "{lever:?}");
    assert!(lever.condition.contains("the usual price"));
    assert_eq!((best.cost.as_str(), best.changes), ("70.00", 2));
    assert!(best.besides.is_empty());
    let shim = &best.buy[0];
    assert!(shim.condition.contains("the usual price"));
    assert!(
        shim.why.contains("too thin for the seat tube"),
        "{}",
        shim.why
    );
    assert!(
        best.cautions
            .iter()
            .all(|caution| !caution.contains(".toml"))
    );
}

#[test]
fn what_is_wrong_and_stays_is_said() {
    let report = report(&bike(TRAIL, &[]), &wishes("note = \"\""), &stock(BIN));
    let stands = &report.plans[0].stands;
    assert!(
        stands.iter().any(|text| text.contains("sinks")),
        "{stands:?}"
    );
}

#[test]
fn a_wish_that_nobody_knows_is_among_what_to_measure() {
    let five = include_bytes!("../cases/five-facts.toml");
    let bin = stock("id,kind\nC-1,chain\n");
    let wishes = wishes("seatpost = { drop = \"at least 125\" }");
    let report = report(&bike(five, &[]), &wishes, &bin);
    assert_eq!(report.outcome, "no plan");
    let asked = |text: &String| text.contains("seatpost.drop");
    assert!(report.give_way.iter().any(asked), "{:?}", report.give_way);
    assert!(
        !report
            .give_way
            .iter()
            .any(|text| text.contains("with without"))
    );
}

/// Every swap set over a few slots, each line and each way to leave things tried, by the check alone.
#[test]
fn no_cheaper_plan_exists_among_all_that_can_be_put_together() {
    let labour = compat_core::catalog::Labour::usual(catalog());
    let mut dice = Dice::new(5);
    let rows: Vec<&str> = BIN.lines().skip(1).collect();
    let header = BIN.lines().next().unwrap();
    let slots = [
        "cassette",
        "rear_derailleur",
        "rear_shifter",
        "chain",
        "seatpost",
    ];
    let (mut found, mut none) = (0, 0);
    for round in 0..40 {
        // A bin of a few lines, most of them of the slots that matter here.
        let of = |kind: &str| -> Vec<&str> {
            let named = |row: &&&str| row.split(',').nth(1) == Some(kind);
            rows.iter().filter(named).copied().collect()
        };
        let mut text = format!("{header}\n");
        let mut ids: Vec<Vec<String>> = Vec::new();
        for slot in slots {
            let all = of(slot);
            let mut here: Vec<&str> = Vec::new();
            for _ in 0..2 {
                let row = all[dice.roll(all.len())];
                if !here.contains(&row) {
                    here.push(row);
                }
            }
            ids.push(
                here.iter()
                    .map(|row| row.split(',').next().unwrap().to_owned())
                    .collect(),
            );
            for row in here {
                text.push_str(row);
                text.push('\n');
            }
        }
        let bin = stock(&text);
        let wish = match dice.roll(4) {
            0 => "cassette = { speeds = \"at least 10\" }\nchange = [\"chain\"]".to_owned(),
            1 => format!(
                "cassette = {{ largest_cog = \"at least {}\" }}",
                28 + dice.roll(24)
            ),
            2 => "rear_shifter = { speeds = \"at least 11\" }".to_owned(),
            _ => "change = [\"cassette\", \"seatpost\"]".to_owned(),
        };
        let wishes = wishes(&wish);
        let bike = bike(TRAIL, &[]);
        let best = plan(catalog(), &asked(&bike, &wishes, Some(&bin), None, &labour)).unwrap();
        assert!(best.proved);
        // Each slot stays, or takes one of its lines.
        let mut least: Option<i64> = None;
        let sizes: Vec<usize> = ids.iter().map(|of| of.len() + 1).collect();
        for number in 0..sizes.iter().product::<usize>() {
            let mut rest = number;
            let mut swap = String::new();
            let mut cost = 0;
            for ((slot, of), size) in slots.iter().zip(&ids).zip(&sizes) {
                let choice = rest % size;
                rest /= size;
                if choice > 0 {
                    let id = &of[choice - 1];
                    swap.push_str(&format!("{slot} = \"{id}\"\n"));
                    let line = bin
                        .lines
                        .iter()
                        .find(|line| bin.text(line.id) == id)
                        .unwrap();
                    cost += compat_core::dim::read_money(bin.text(line.price)).unwrap();
                    cost += labour.cost(catalog().slot_named(slot).unwrap());
                }
            }
            if least.is_some_and(|least| least <= cost) {
                continue;
            }
            let mut job = Job::new(catalog());
            let swap = job.swap("swap.toml", swap.as_bytes(), Some(&bin)).unwrap();
            if swap.parts.is_empty() {
                continue;
            }
            let (after, touched) = bike.with(&swap);
            let changed = wishes.change.iter().all(|slot| touched.contains(slot));
            let holds = wishes.wishes.iter().all(|wish| {
                let part = after.part(wish.slot).unwrap();
                let reading = part.entries[wish.dimension].deciding();
                reading.is_some_and(|reading| match (reading.cases.span(), &wish.wanted) {
                    (Some(span), compat_core::dim::Cases::Numbers(wanted)) => {
                        wanted.iter().any(|wanted| wanted.holds(span))
                    }
                    _ => false,
                })
            });
            if !changed || !holds {
                continue;
            }
            let checked = check(catalog(), &bike, Some(&swap), Options::default());
            // An adaptor has a price of its own, which this count knows nothing of.
            let adapts = checked
                .findings
                .iter()
                .any(|finding| !finding.remedies.inserts.is_empty());
            if checked.verdict <= Verdict::FitsWith && !adapts {
                least = Some(cost);
            }
        }
        let money = best.plans.first().map(|plan| plan.weight.money);
        match (least, money) {
            (Some(least), Some(money)) => assert!(money <= least, "{round}: {wish}\n{text}"),
            (Some(_), None) => panic!("{round}: a plan was missed: {wish}\n{text}"),
            _ => {}
        }
        for plan in &best.plans {
            found += 1;
            if plan.steps.is_empty() {
                continue;
            }
            let again = check(catalog(), &bike, Some(&plan.swap), Options::default());
            assert!(again.verdict <= Verdict::FitsWith);
        }
        none += usize::from(best.plans.is_empty());
    }
    assert!(found >= 8 && none >= 4, "{found} plans, {none} times none");
}

#[test]
fn what_would_have_to_give_way_is_enough() {
    let bike = bike(TRAIL, FRAME);
    let (bin, list) = (stock(BIN), stock(PRICES));
    let text = format!("{EASY}\n");
    let tight = wishes(&format!("budget = 100\n{text}"));
    let planned_tight = planned(&bike, &tight, &bin, Some(&list));
    assert!(planned_tight.plans.is_empty() && planned_tight.proved);
    let more = planned_tight.relaxed.iter().find_map(|one| match one {
        Relaxed::Budget(more, _) => Some(*more),
        _ => None,
    });
    let enough = 10_000 + more.expect("the budget is what is short");
    for (budget, there) in [(enough, true), (enough - 1, false)] {
        let mut wishes = wishes(&text);
        wishes.budget = Some(budget);
        let planned = planned(&bike, &wishes, &bin, Some(&list));
        assert_eq!(!planned.plans.is_empty(), there, "{budget}");
    }
}

#[test]
fn measuring_and_the_budget_give_way_together() {
    let bike = bike(TRAIL, &[]);
    let (bin, list) = (stock(BIN), stock(PRICES));
    let text = format!("budget = 100\n{EASY}\n");
    let planned = planned(&bike, &wishes(&text), &bin, Some(&list));
    assert!(planned.plans.is_empty() && planned.proved);
    let pair = planned.relaxed.iter().find_map(|one| match one {
        Relaxed::Measure {
            weight,
            more: Some(more),
            ..
        } => Some((*weight, *more)),
        _ => None,
    });
    let (weight, more) = pair.expect("neither does alone");
    let labour = compat_core::catalog::Labour::usual(catalog());
    for (budget, there) in [(10_000, false), (10_000 + more, true)] {
        let mut wishes = wishes(&text);
        wishes.budget = Some(budget);
        let asked = Asked {
            unmeasured: true,
            ..asked(&bike, &wishes, Some(&bin), Some(&list), &labour)
        };
        let planned = plan(catalog(), &asked).unwrap();
        assert_eq!(!planned.plans.is_empty(), there, "{budget}");
        if let Some(plan) = planned.plans.first() {
            assert_eq!(plan.weight, weight);
        }
    }
    // Money alone is not enough.
    let mut free = wishes(&text);
    free.budget = None;
    let found = self::planned(&bike, &free, &bin, Some(&list));
    assert!(found.plans.is_empty());
}

#[test]
fn a_long_conflict_is_told_with_what_was_asked_first() {
    let bike = bike(TRAIL, FRAME);
    let (bin, list) = (stock(BIN), stock(PRICES));
    let labour = compat_core::catalog::Labour::usual(catalog());
    let wishes = wishes(&format!("budget = 300\n{EASY}"));
    let asked = Asked {
        worth: false,
        ..asked(&bike, &wishes, Some(&bin), Some(&list), &labour)
    };
    let report = Job::new(catalog()).plan(&asked).unwrap();
    let told = &report.conflict;
    assert!(told[0].starts_with("wished: "), "{told:?}");
    let money = told.iter().position(|line| line.contains("is spent"));
    let joints = told.iter().position(|line| line.ends_with(" fits"));
    let many = told.iter().position(|line| line.contains(" joints fit: "));
    assert!(
        joints.is_none() && money < many && many.is_some(),
        "{told:?}"
    );
}

#[test]
fn a_wish_that_holds_changes_nothing() {
    let bike = bike(CITY, &[]);
    let planned = planned(&bike, &wishes("title = \"as it is\""), &stock(BIN), None);
    assert!(planned.proved);
    assert_eq!(planned.plans[0].weight.money, 0);
    assert!(planned.plans[0].steps.is_empty());
}

#[test]
fn a_line_is_taken_no_more_often_than_it_is_there() {
    let bike = bike(CITY, &[]);
    let both = wishes("change = [\"front_tyre\", \"rear_tyre\"]");
    let tyres = |quantity: u32| {
        let text = format!("id,kind,quantity,price,size\nT,tyre,{quantity},10,37-622\n");
        let bin = stock(&text);
        let labour = compat_core::catalog::Labour::usual(catalog());
        let asked = Asked {
            unmeasured: true,
            ..asked(&bike, &both, Some(&bin), None, &labour)
        };
        plan(catalog(), &asked).unwrap()
    };
    assert!(tyres(1).plans.is_empty());
    assert_eq!(tyres(2).plans[0].steps.len(), 2);
}

#[test]
fn a_wish_that_stays_open_is_told() {
    let bike = bike(b"[frame]\n[cassette]\nspeeds = 11\n", &[]);
    let (wishes, bin) = (
        wishes("cassette = { largest_cog = \"at least 46\" }"),
        stock("id,kind,price\nA,grips,5\n"),
    );
    let labour = compat_core::catalog::Labour::usual(catalog());
    let asked = Asked {
        unmeasured: true,
        ..asked(&bike, &wishes, Some(&bin), None, &labour)
    };
    let report = Job::new(catalog()).plan(&asked).unwrap();
    let best = &report.plans[0];
    assert_eq!((best.changes, best.open), (0, 1));
    assert!(
        best.measure
            .iter()
            .any(|one| one.contains("largest cog of the cassette")),
        "{:?}",
        best.measure
    );
}

#[test]
fn a_part_that_is_known_to_be_bad_is_not_put_on() {
    let bike = bike(TRAIL, FRAME);
    let swap = include_str!("../../examples/swaps/trail-shock-shorter-stroke.toml");
    let check = |more: &str| {
        let mut job = Job::new(catalog());
        let swap = format!("{swap}{more}");
        let swap = job.swap("swap.toml", swap.as_bytes(), None).unwrap();
        let report = job.check(&bike, Some(&swap), Options::default());
        (report.verdict, report.unjudged)
    };
    let (sound, _) = check("");
    assert!(sound <= Verdict::FitsWith);
    let (verdict, unjudged) = check("complaint = \"loses air\"\n");
    assert_eq!(verdict, Verdict::MeasureFirst);
    assert!(
        unjudged.iter().any(|one| one.contains("seals")),
        "{unjudged:?}"
    );
    // Of two that fit, the planner takes the sound one, though it costs more.
    let wishes = wishes("change = [\"shock\"]");
    let line = |id: &str, complaint: &str, price: u32| {
        format!("{id},shock,200x51,inline,eyelet,30x8,eyelet,22.2x8,{complaint},{price}\n")
    };
    let header = "id,kind,size,shape,upper_mount,upper,lower_mount,lower,complaint,price\n";
    let both = format!("{header}{}{}", line("A", "loses air", 5), line("B", "", 90));
    let best = &report(&bike, &wishes, &stock(&both)).plans[0];
    assert_eq!(best.bin[0].id, "B");
    let bad = format!("{header}{}", line("A", "loses air", 5));
    assert!(report(&bike, &wishes, &stock(&bad)).plans.is_empty());
}

#[test]
fn a_complaint_counts_where_no_mate_is_listed() {
    // No lever is listed, so nothing judges what pulls the brake.
    let bike = bike(
        b"[frame]\n[fork]\nbrake_mount = \"V-brake\"\nbrake_wheel = 559\nboss_height = 254\n\
          [front_brake]\nmount = \"V-brake\"\n[front_rim]\nsize = \"559x17\"\nbrake_track = \"alu\"\n",
        &[],
    );
    let wishes = wishes("change = [\"front_brake\"]");
    let bin = stock(
        "id,kind,mount,complaint,price\nA,brake,V-brake,lever comes to the bar,1\nB,brake,V-brake,,30\n",
    );
    let labour = compat_core::catalog::Labour::usual(catalog());
    let asked = Asked {
        unmeasured: true,
        ..asked(&bike, &wishes, Some(&bin), None, &labour)
    };
    let job = Job::new(catalog());
    let best = &job.plan(&asked).unwrap().plans[0];
    assert_eq!(best.bin[0].id, "B");
    let audit = job.audit(&bike, &bin, Options::default());
    let reason = |id: &str| {
        let line = audit.lines.iter().find(|line| line.id == id).unwrap();
        line.slots[0].reason.clone()
    };
    assert!(
        reason("A").contains("lever comes to the bar"),
        "{}",
        reason("A")
    );
    assert!(
        reason("B").contains("the bike lists no front brake lever"),
        "{}",
        reason("B")
    );
}

#[test]
fn what_is_to_come_off_is_not_bought_for_a_joint_that_lacks_it() {
    let bike = bike(TRAIL, FRAME);
    let (bin, list) = (stock(BIN), stock(PRICES));
    let gone = wishes("remove = [\"dropper_remote\"]");
    for plan in planned(&bike, &gone, &bin, Some(&list)).plans {
        let lever = catalog().slot_named("dropper_remote").unwrap();
        assert!(plan.lacks.iter().all(|lack| lack.slot != lever));
    }
}

#[test]
fn a_shop_that_has_none_sells_none() {
    let bike = bike(CITY, &[]);
    let wish = wishes("change = [\"saddle\"]");
    let list = |quantity: u32| {
        let text = format!("id,kind,quantity,price,rails\nS,saddle,{quantity},10,round 7 mm\n");
        let shop = stock(&text);
        let labour = compat_core::catalog::Labour::usual(catalog());
        let asked = Asked {
            unmeasured: true,
            ..asked(&bike, &wish, None, Some(&shop), &labour)
        };
        plan(catalog(), &asked).unwrap().plans.len()
    };
    assert_eq!((list(0), list(1)), (0, 1));
}

#[test]
fn of_plans_that_cost_the_same_the_one_without_an_adaptor_is_taken() {
    let bike = bike(TRAIL, &[]);
    let wishes = wishes("seatpost = { drop = \"at least 150\" }");
    let post = "150,50,100,internal cable,head at the post,two-bolt";
    let bin = format!(
        "id,kind,size,drop,stack,least_insertion,actuation,cable_head,clamp,inside,outside\n\
         A,seatpost,27.2x430,{post},,\n\
         B,seatpost,30.9x430,{post},,\n\
         C,seatpost_shim,,,,,,,,27.2,30.9\n"
    );
    let bin = stock(&bin);
    let planned = planned(&bike, &wishes, &bin, None);
    let best = &planned.plans[0];
    let units = best.steps.iter().filter_map(|step| match step.act {
        Act::Put(unit) => Some(bin.text(bin.lines[unit.line].id)),
        Act::Empty => None,
    });
    assert_eq!(units.collect::<Vec<_>>(), ["B"]);
    assert!(best.adaptors.is_empty());
}
