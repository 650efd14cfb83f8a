//! Words that stand for two names, and the slot that says which; and what a bike does not tell.

use compat_core::verdict::Verdict;
use compat_core::{Catalog, Job, Options};

fn verdict(bike: &str, swap: &str) -> Verdict {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let bike = job.bike("bike.toml", bike.as_bytes()).expect("a bike");
    let swap = job
        .swap("swap.toml", swap.as_bytes(), None)
        .expect("a swap set");
    job.check(&bike, Some(&swap), Options::default()).verdict
}

/// A rear wheel with a quick release is asked nothing about the axle of a hub gear.
#[test]
fn a_quick_release_behind_is_one_of_ten_millimetres() {
    let bike =
        "[frame]\nrear_axle = \"QR\"\nrear_spacing = 135\n[rear_brake]\nmount = \"V-brake\"\n";
    let swap = "[rear_hub]\nspacing = 135\naxle = \"QR\"\n";
    assert_eq!(verdict(bike, swap), Verdict::Fits);
}

/// Which of the two is only chosen where the word left it open.
#[test]
fn a_name_written_out_stands() {
    let bike =
        "[frame]\nrear_axle = \"qr_rear\"\nrear_spacing = 135\nrear_brake_mount = \"V-brake\"\n";
    let swap = "[rear_hub]\nspacing = 135\naxle = \"qr_front\"\n";
    assert_ne!(verdict(bike, swap), Verdict::Fits);
}

/// A rotor left on the hub of a bike with rim brakes is nobody's business.
#[test]
fn a_rotor_left_on_the_hub_under_a_rim_brake_is_not_asked_about() {
    let bike = "[fork]\nbrake_mount = \"V-brake\"\n[front_hub]\nrotor_mount = \"six_bolt\"\n\
                [front_brake]\nmount = \"V-brake\"\npull = \"long\"\n\
                [front_rotor]\nfixing = \"six_bolt\"\ndiameter = 160\n";
    let swap =
        "[front_brake_lever]\npull = \"long\"\nclamp = 22.2\n[handlebar]\ngrip_diameter = 22.2\n";
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let bike = job.bike("bike.toml", bike.as_bytes()).expect("a bike");
    let swap = job
        .swap("swap.toml", swap.as_bytes(), None)
        .expect("a swap set");
    let report = job.check(&bike, Some(&swap), Options::default());
    let about = |word: &str| {
        report
            .findings
            .iter()
            .any(|finding| finding.headline.contains(word))
    };
    assert!(
        !about("disc mount") && !about("rotor"),
        "{:?}",
        report.findings
    );
}
