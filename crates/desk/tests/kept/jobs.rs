//! Planning as jobs.

use crate::common::{WISH, ines, on_each, on_each_with_shop, plan, put_shop, take_demo, take_totes, totes};
use desk::kept::{DeedError, PlanWish, Stage};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;
use store::{JobState, Sieve};

#[test]
fn an_order_is_planned_by_a_worker() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 12);
        assert_eq!(kept.plan_of(&id), Ok(None));
        plan(kept, &id);
        let plan = kept.plan_of(&id).expect("read").expect("planned");
        assert!(!plan.stale && plan.version == 1, "{plan:?}");
        assert_eq!(plan.stamp.by, "Ines", "who asked for it");
        let facts = plan.facts(&id).expect("figures");
        assert!(facts.net > facts.cost && facts.cost > 0 && facts.sheets > 0, "{facts:?}");
        assert_eq!((facts.lines.len(), facts.lines[0].pieces), (1, 12));
        assert!(facts.lines[0].prints[0].transfer.is_some());

        let json: serde_json::Value =
            serde_json::from_slice(&kept.plan_file(&plan, "plan.json").expect("there")).expect("JSON");
        assert!(json.is_object());
        for name in ["papers/quote-1.pdf", "pictures/garment-1-1-1.svg", "summary.txt"] {
            assert!(!kept.plan_file(&plan, name).expect(name).is_empty());
        }
        assert!(matches!(kept.plan_file(&plan, "../shop.db"), Err(DeedError::Missing { .. })));

        let order = kept.order(&id).expect("there");
        assert_eq!(order.listed.net, Some(facts.net));
        assert_eq!(order.listed.stage, Stage::ToQuote.word());
        assert_eq!(kept.list(&Sieve::default()), Ok(vec![order.listed]), "lists follow the plan");
    });
}

#[test]
fn the_same_order_planned_again_gives_the_same_bytes() {
    on_each_with_shop(|kept| {
        let id = take_totes(kept, 12);
        plan(kept, &id);
        let first = kept.plan_of(&id).expect("read").expect("planned");
        plan(kept, &id);
        let second = kept.plan_of(&id).expect("read").expect("planned");
        assert_eq!((second.version, &second.form), (2, &first.form));
        assert_eq!(kept.difference(&id), Ok(Some(vec![])));

        kept.change_order(&id, 1, &totes(40), "more", &ines(30)).expect("changed");
        let stale = kept.plan_of(&id).expect("read").expect("planned");
        assert!(stale.stale && stale.order_changed && !stale.shop_changed);
        assert_eq!(kept.order(&id).expect("there").listed.stage, Stage::ToPlan.word());
        plan(kept, &id);
        let speech = words::Speech::english(units::UnitSystem::Metric);
        let said: Vec<String> =
            kept.difference(&id).expect("read").expect("two plans").iter().map(|why| speech.rule(why)).collect();
        assert!(said.iter().any(|line| line.starts_with("The price goes from")), "{said:?}");

        let (name, version, text) =
            kept.shop_files().expect("read").into_iter().find(|file| file.0 == "stock.toml").expect("there");
        kept.put_shop_file(&name, &text.replacen("\"7.40\"", "\"7.50\"", 1), version, &ines(31)).expect("kept");
        let stale = kept.plan_of(&id).expect("read").expect("planned");
        assert!(stale.stale && !stale.order_changed && stale.shop_changed);
    });
}

#[test]
fn a_job_that_cannot_be_done_says_why() {
    on_each(|kept| {
        let id = take_totes(kept, 12);
        let late = PlanWish { today: Some(jiff::civil::date(2027, 1, 5)), ..WISH };
        let job = kept.plan_later(&id, late, &ines(20)).expect("put in");
        let work = || kept.work_one("desk", 1, &AtomicBool::new(false));
        assert_eq!(work(), Ok(true));
        let failed = kept.job(&job).expect("read").expect("there");
        assert_eq!(failed.state, JobState::Failed);
        assert!(failed.result.contains("presses.toml"), "without a shop: {}", failed.result);
        put_shop(kept);
        let job = kept.plan_later(&id, late, &ines(20)).expect("put in");
        assert_eq!(work(), Ok(true));
        let failed = kept.job_of(&id).expect("read").expect("there");
        assert_eq!((&failed.id, failed.state), (&job, JobState::Failed));
        assert!(failed.result.contains("before today"), "{}", failed.result);
        assert_eq!(kept.plan_of(&id), Ok(None));
        assert_eq!(work(), Ok(false));
        let much = PlanWish { effort: Some(u64::MAX), ..WISH };
        assert!(matches!(kept.plan_later(&id, much, &ines(21)), Err(DeedError::Refused(_))));
        assert!(matches!(kept.plan_later("9", WISH, &ines(21)), Err(DeedError::Missing { .. })));
    });
}

#[test]
fn a_job_is_called_off_while_it_waits_and_while_it_runs() {
    on_each_with_shop(|kept| {
        let id = take_demo(kept);
        let job = kept.plan_later(&id, WISH, &ines(20)).expect("put in");
        kept.call_off(&job).expect("called off");
        assert_eq!(kept.work_one("desk", 1, &AtomicBool::new(false)), Ok(false));

        let long = PlanWish { effort: Some(400_000_000), ..WISH };
        let job = kept.plan_later(&id, long, &ines(20)).expect("put in");
        std::thread::scope(|scope| {
            let worker = scope.spawn(|| kept.work_one("desk", 1, &AtomicBool::new(false)));
            while kept.job(&job).expect("read").expect("there").progress.is_empty() {
                std::thread::sleep(Duration::from_millis(50));
            }
            kept.call_off(&job).expect("called off");
            assert_eq!(worker.join().expect("no panic"), Ok(true));
        });
        assert_eq!(kept.job(&job).expect("read").expect("there").state, JobState::CalledOff);
        assert_eq!(kept.plan_of(&id), Ok(None));
    });
}

#[test]
fn a_worker_that_must_end_gives_its_job_back_and_a_dead_one_loses_it() {
    on_each_with_shop(|kept| {
        let id = take_demo(kept);
        let job = kept.plan_later(&id, PlanWish { effort: Some(400_000_000), ..WISH }, &ines(20)).expect("put in");
        let stop = AtomicBool::new(false);
        std::thread::scope(|scope| {
            let worker = scope.spawn(|| kept.work_one("desk", 1, &stop));
            while kept.job(&job).expect("read").expect("there").progress.is_empty() {
                std::thread::sleep(Duration::from_millis(50));
            }
            stop.store(true, Ordering::SeqCst);
            assert_eq!(worker.join().expect("no panic"), Ok(true));
        });
        assert_eq!(kept.job(&job).expect("read").expect("there").state, JobState::Waiting);
        assert_eq!(kept.plan_later(&id, WISH, &ines(21)), Ok(job.clone()), "the one that waits is renewed");

        // Taken by one that never beats again.
        let taken = kept.store().take_job("dead").expect("read").expect("a job");
        assert_eq!(kept.put_back_dead(Duration::ZERO), Ok(0), "the first look only notes the beat");
        kept.store().beat(&taken, "").expect("alive");
        assert_eq!(kept.put_back_dead(Duration::ZERO), Ok(0), "its beat moved");
        assert_eq!(kept.put_back_dead(Duration::from_secs(60)), Ok(0), "not long enough");
        assert_eq!(kept.put_back_dead(Duration::ZERO), Ok(1));
        assert_eq!(kept.work_one("alive", 2, &AtomicBool::new(false)), Ok(true));
        assert_eq!(kept.job(&job).expect("read").expect("there").state, JobState::Done);
        assert!(kept.plan_of(&id).expect("read").is_some());
        assert!(kept.store().finish_job(&taken, "", &ines(22), &[], &[]).is_err(), "the dead one comes too late");
        assert_eq!(kept.work_left(), Ok(false));
    });
}
