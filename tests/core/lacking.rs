//! What a plan lacks, needs beside its lists, counts for the order, and leaves behind.

use compat_core::solve::plan::{
    Asked, Built, Relaxed, Request, Shelf, Unit, Weight, Why, export, plan,
};
use compat_core::{Job, Options};

use super::plan::{BIN, CITY, PRICES, TRAIL, asked, bike, catalog, report, stock, wishes};
use super::solvers::{general_solver, numbers};

const POST: &str = "id,kind,price,size,drop,stack,least_insertion,actuation,cable_head,clamp\n\
                    D1,seatpost,0,31.6x400,125,45,90,internal cable,head at the post,two-bolt\n";

#[test]
fn a_lever_the_post_needs_is_taken_from_the_bin_or_the_list() {
    let five = include_bytes!("../cases/five-facts.toml");
    let more = [
        "frame.seat_tube_free_depth=300",
        "saddle.rails=round 7 mm",
        "handlebar.grip_diameter=22.2",
        "handlebar.shape=flat",
    ];
    let bike = bike(five, &more);
    let levers = "id,kind,price,actuation,cable_head,clamp\n\
                  R1,dropper_remote,45,cable,head at the post,22.2\n\
                  R2,dropper_remote,5,cable,head at the lever,22.2\n\
                  R3,dropper_remote,7,hydraulic,,22.2\n";
    let (bin, list) = (stock(POST), stock(levers));
    let labour = compat_core::catalog::Labour::usual(catalog());
    let wishes = wishes("seatpost = { drop = \"at least 125\" }");
    let mut asked = asked(&bike, &wishes, Some(&bin), Some(&list), &labour);
    asked.next = 2;
    let job = Job::new(catalog());
    let report = job.plan(&asked).unwrap();
    let best = &report.plans[0];
    // Dearer than the usual price, and bought all the same: the others do not work the post.
    let lever: Vec<(&str, &str)> = (best.buy.iter())
        .map(|step| (step.id.as_str(), step.price.as_str()))
        .collect();
    assert_eq!(lever, [("R1", "45.00")]);
    assert_eq!(best.buy[0].why, "dropper line and lever needs one");
    assert_eq!(best.cost, "75.00");
    // The same without the lever is no next best plan.
    assert_eq!(report.plans.len(), 1);
    let planned = plan(catalog(), &asked).unwrap();
    if let Some(theirs) = general_solver(&[export(catalog(), &asked).unwrap()]) {
        assert_eq!(theirs, [numbers(Some(planned.plans[0].weight))]);
    }
    // Money short by the lever is no plan without one.
    let mut tight = wishes.clone();
    tight.budget = Some(7_400);
    let asked = Asked {
        wishes: &tight,
        ..asked
    };
    assert!(plan(catalog(), &asked).unwrap().plans.is_empty());
}

#[test]
fn what_a_slot_takes_of_a_line_is_no_adaptor_any_more() {
    let bike = bike(
        b"[frame]\n[front_hub]\nrotor_mount = \"center lock\"\naxle = \"QR 100\"\n",
        &[],
    );
    let bin = stock(
        "id,kind,quantity,price,fixing,diameter,lockring,mount\n\
         R1,rotor,1,20,six_bolt,160,,\nA1,rotor_adaptor,1,9,center_lock,,inner,six_bolt\n",
    );
    let labour = compat_core::catalog::Labour::usual(catalog());
    let wishes = wishes("change = [\"front_rotor\"]");
    let asked = asked(&bike, &wishes, Some(&bin), None, &labour);
    let planned = plan(
        catalog(),
        &Asked {
            unmeasured: true,
            ..asked
        },
    )
    .unwrap();
    let findings = &planned.plans[0].check.findings;
    let inserts: Vec<_> = (findings.iter())
        .flat_map(|finding| &finding.remedies.inserts)
        .collect();
    let shelf = Shelf::new(catalog(), Some(&bin), None, true, &Default::default()).unwrap();
    let request = Request {
        bike: &bike,
        wishes: &wishes,
        labour: &labour,
        strict: false,
        unmeasured: true,
        soft: false,
    };
    let built = Built::new(catalog(), request, &shelf);
    let kind = catalog().kind_named("rotor_adaptor").unwrap();
    let unit = shelf.classes[kind][0].units[0];
    let price = |taken: &[(usize, Unit)]| -> Vec<i64> {
        let priced = built.adaptors(inserts.iter().copied(), taken);
        priced.into_iter().map(|(_, price)| price).collect()
    };
    assert_eq!(price(&[]), [900]);
    assert_eq!(price(&[(0, unit)]), [labour.adaptor]);
}

#[test]
fn a_part_somebody_complained_of_stands_behind_one_that_is_only_not_measured() {
    let five = include_bytes!("../cases/five-facts.toml");
    let more = [
        "frame.seat_tube_free_depth=300",
        "saddle.rails=round 7 mm",
        "rider.saddle_height=735",
    ];
    let bike = bike(five, &more);
    let bin = stock(
        "id,kind,price,size,drop,stack,least_insertion,clamp,complaint\n\
         S1,seatpost,1,31.6x400,0,0,90,two-bolt,slips\n\
         S2,seatpost,90,31.6x400,0,0,90,,\n",
    );
    let labour = compat_core::catalog::Labour::usual(catalog());
    let wishes = wishes("change = [\"seatpost\"]");
    let asked = Asked {
        unmeasured: true,
        next: 1,
        ..asked(&bike, &wishes, Some(&bin), None, &labour)
    };
    let planned = plan(catalog(), &asked).unwrap();
    let lines: Vec<(i64, i64)> = (planned.plans.iter())
        .map(|plan| (plan.weight.open, plan.weight.money))
        .collect();
    assert_eq!(lines, [(1, 11_000), (Weight::AGAINST, 2_100)]);
    let report = Job::new(catalog()).plan(&asked).unwrap();
    let open: Vec<usize> = report.plans.iter().map(|plan| plan.open).collect();
    assert_eq!(open, [1, 1]);
    if let Some(theirs) = general_solver(&[export(catalog(), &asked).unwrap()]) {
        assert_eq!(theirs, [numbers(Some(planned.plans[0].weight))]);
    }
}

#[test]
fn what_is_bought_is_counted_for_the_order() {
    let frame = include_bytes!("../cases/bearings-frame.toml");
    let bike = bike(frame, &[]);
    let list = stock(
        "id,kind,price,designation,make,seal\n\
         B1,bearing,6,6902,full complement,2RS\nB2,bearing,4,6902,,2RS\n",
    );
    let wishes = wishes("change = [\"pivot_bearing_1\", \"pivot_bearing_2\", \"pivot_bearing_3\"]");
    let labour = compat_core::catalog::Labour::usual(catalog());
    let job = Job::new(catalog());
    let asked = asked(&bike, &wishes, None, Some(&list), &labour);
    let report = job.plan(&asked).unwrap();
    let lines: Vec<(usize, &str, &str)> = (report.plans[0].order.iter())
        .map(|line| (line.count, line.id.as_str(), line.price.as_str()))
        .collect();
    assert_eq!(lines, [(2, "B1", "12.00"), (1, "B2", "4.00")]);
    let first = &report.plans[0].order[0];
    assert!(first.what.starts_with("bearing 6902"), "{first:?}");
    assert_eq!(first.slots, ["pivot bearing 1", "pivot bearing 2"]);
}

#[test]
fn a_brake_that_comes_off_is_cautioned_of() {
    let bike = bike(CITY, &[]);
    let mut job = Job::new(catalog());
    let off = "remove = [\"rear_brake\", \"front_brake\"]";
    let swap = job.swap("swap.toml", off.as_bytes(), None).unwrap();
    let checked = job.check(&bike, Some(&swap), Options::default());
    let told = |all: &[String]| {
        let mut all = all.iter();
        all.any(|say| say.starts_with("without the front brake and rear brake: "))
    };
    let said: Vec<String> = checked.off.iter().map(|one| one.say.clone()).collect();
    assert!(told(&said), "{said:?}");
    assert!(checked.off[0].source.starts_with("practice"));
    assert!(checked.summary().contains("what comes off"));
    let planned = report(&bike, &wishes(off), &stock(BIN));
    assert!(told(&planned.plans[0].cautions));
    // One that is replaced is not off, nor one that leaves with what it hangs on.
    for (swap, bare) in [
        ("rear_brake = { mount = \"V-brake\" }", 0),
        ("remove = [\"cassette\"]", 0),
        ("remove = [\"lockring\"]", 1),
    ] {
        let known = "[frame]\n[rear_brake]\n[cassette]\n[lockring]\n";
        let bike = self::bike(known.as_bytes(), &[]);
        let swap = job.swap("swap.toml", swap.as_bytes(), None).unwrap();
        let checked = job.check(&bike, Some(&swap), Options::default());
        assert_eq!(checked.off.len(), bare, "{swap:?}");
    }
}

#[test]
fn an_adaptor_that_is_there_is_not_bought_again() {
    let on = "[frame]\n[front_hub]\nrotor_mount = \"center lock\"\naxle = \"QR 100\"\n\
              [front_rotor]\nfixing = \"6-bolt\"\ndiameter = 160\n";
    let bike = bike(on.as_bytes(), &[]);
    let bin = stock("id,kind,quantity,price,fixing,diameter\nR1,rotor,1,20,six_bolt,160\n");
    let labour = compat_core::catalog::Labour::usual(catalog());
    let wishes = wishes("change = [\"front_rotor\"]");
    let asked = Asked {
        unmeasured: true,
        worth: false,
        ..asked(&bike, &wishes, Some(&bin), None, &labour)
    };
    let report = Job::new(catalog()).plan(&asked).unwrap();
    let plan = &report.plans[0];
    assert_eq!(plan.parts, "0.00");
    assert!(plan.buy.is_empty());
    assert!(
        plan.as_now[0].starts_with("Center Lock to six-bolt adaptor"),
        "{:?}",
        plan.as_now
    );
}

#[test]
fn a_shop_that_says_it_has_one_sells_one() {
    let bike = bike(CITY, &[]);
    let labour = compat_core::catalog::Labour::usual(catalog());
    let wishes = wishes("change = [\"front_tyre\", \"rear_tyre\"]");
    let plans = |list: &str| {
        let list = stock(list);
        let asked = Asked {
            unmeasured: true,
            ..asked(&bike, &wishes, None, Some(&list), &labour)
        };
        plan(catalog(), &asked).unwrap().plans.len()
    };
    assert_eq!(
        plans("id,kind,quantity,price,size\nT1,tyre,1,20,37-622\n"),
        0
    );
    assert_eq!(
        plans("id,kind,quantity,price,size\nT1,tyre,2,20,37-622\n"),
        1
    );
    assert_eq!(
        plans("id,kind,quantity,price,size\nT1,tyre,,20,37-622\n"),
        1
    );
    assert_eq!(plans("id,kind,price,size\nT1,tyre,20,37-622\n"), 1);
}

#[test]
fn a_part_fitted_now_that_stands_in_the_way_is_named() {
    let on = "[frame]\n[front_brake]\nmount = \"V-brake\"\npull = \"linear pull\"\n\
              [front_brake_lever]\npull = \"new road\"\n[saddle]\nrails = \"round 7 mm\"\n\
              [seatpost]\nclamp = \"two-bolt\"\n";
    let bike = bike(on.as_bytes(), &[]);
    let bin = stock("id,kind,price,rails\nS1,saddle,5,round 7 mm\n");
    let labour = compat_core::catalog::Labour::usual(catalog());
    let wishes = wishes("change = [\"saddle\"]");
    let asked = Asked {
        unmeasured: true,
        ..asked(&bike, &wishes, Some(&bin), None, &labour)
    };
    let planned = plan(catalog(), &asked).unwrap();
    let goes = |name: &str| {
        let slot = catalog().slot_named(name).unwrap();
        let mut all = planned.relaxed.iter();
        all.any(|one| matches!(one, Relaxed::Goes(of, _) if *of == slot))
    };
    assert!(goes("front_brake") && goes("front_brake_lever"));
    let report = Job::new(catalog()).plan(&asked).unwrap();
    let said = report.give_way.join("\n");
    assert!(
        said.contains("the front brake lever: if it might go, a plan of"),
        "{said}"
    );
}

#[test]
fn what_a_better_plan_does_without_is_not_said_to_be_forced() {
    let (bike, wishes) = (
        bike(TRAIL, &[]),
        wishes(
            "keep = [\"crankset\", \"rear_hub\"]\nmay_go = [\"front_derailleur\"]\ncassette = { speeds = 11 }",
        ),
    );
    let (bin, list) = (stock(BIN), stock(PRICES));
    let labour = compat_core::catalog::Labour::usual(catalog());
    let mut asked = asked(&bike, &wishes, Some(&bin), Some(&list), &labour);
    asked.next = 2;
    let plans = plan(catalog(), &asked).unwrap().plans;
    let mut apart = 0;
    for (number, later) in plans.iter().enumerate() {
        let before = &plans[..number];
        for step in &later.steps {
            let mut left = before.iter();
            let left = left.any(|plan| plan.steps.iter().all(|one| one.slot != step.slot));
            assert!(!left || !matches!(step.why, Why::Forced(..) | Why::Saves(..)));
            apart += usize::from(matches!(step.why, Why::Apart));
        }
    }
    assert!(apart > 0);
}

#[test]
fn what_has_to_be_written_down_first_is_named() {
    let bike = bike(
        b"[frame]\nshell = \"BSA 68\"\n[bottom_bracket]\nshell = \"BSA 68\"\nspindle = \"24 road\"\n\
          [crankset]\nrings = \"50/34\"\nspindle = \"24 road\"\n",
        &[],
    );
    let wishes = wishes("crankset = { largest_ring = \"at most 46\" }");
    let bin = stock("id,kind,rings,spindle\nC1,crankset,46/30,24 road\n");
    let report = report(&bike, &wishes, &bin);
    let mut ways = report.give_way.iter();
    let way = ways.find(|way| way.starts_with("measuring")).unwrap();
    assert!(way.contains("that is fitted written down first"), "{way}");
}
