//! What the model says about shop practice, read off whole answers.
//!
//! Expected figures are those of a second implementation of the same equations
//! (not measured truth), rounded; the bands are that rounding plus the
//! difference of activation gates.

use heat::press::{
    Advice, Assembly, Cloth, Constraint, Cooling, Doubt, Dye, FaceLimits, Fibre, Longer, MakerLimits, PressStep,
    Pressed, Question, Setting, Step, Surroundings, Verdict, advise, cooled_after, cover_sheet, extra_heat,
    paper_carrier, press, ranges, verdict,
};
use heat::window::{Search, window};
use report::Origin;

fn tee() -> Cloth {
    Cloth::new(vec![(Fibre::Cotton, 1.0)], 180.0, 0.38)
}

fn polyester() -> Cloth {
    Cloth::new(vec![(Fibre::Polyester, 1.0)], 140.0, 0.30)
}

fn fleece() -> Cloth {
    Cloth::new(vec![(Fibre::Cotton, 0.5), (Fibre::Polyester, 0.5)], 300.0, 1.0)
}

fn nylon() -> Cloth {
    Cloth::new(vec![(Fibre::Nylon, 1.0)], 90.0, 0.14)
}

fn denim() -> Cloth {
    Cloth::new(vec![(Fibre::Cotton, 1.0)], 400.0, 0.62)
}

fn acrylic() -> Cloth {
    Cloth::new(vec![(Fibre::Acrylic, 1.0)], 300.0, 1.0)
}

fn stretch() -> Cloth {
    Cloth::new(vec![(Fibre::Polyester, 0.85), (Fibre::Elastane, 0.15)], 250.0, 0.45)
}

fn set(platen_c: f64, dwell_s: f64) -> Setting {
    Setting { platen_c, dwell_s }
}

fn pressed(work: &Assembly, setting: Setting) -> Pressed {
    press(work, &[], setting, Surroundings::default(), 110.0).expect("presses")
}

fn near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((found - expected).abs() <= tolerance, "{what}: found {found:.2}, expected {expected} ± {tolerance}");
}

/// A question about `work`, for a tee recipe of 150 °C and 15 s known by gate 90,
/// the gate of the figures below.
fn question(work: Assembly) -> Question {
    let limits = work.cloth[0].face_limits(Dye::Fast);
    Question {
        reference: Assembly::reference(),
        reference_setting: set(150.0, 15.0),
        reference_steps: Vec::new(),
        target: work,
        steps: Vec::new(),
        around: Surroundings::default(),
        maker: MakerLimits {
            platen_c: (150.0, 150.0),
            dwell_s: (15.0, 15.0),
            activation_c: Some(90.0),
            activation_origin: Origin::Maker,
            longer: Longer::Borne,
        },
        cloth_limits: limits,
        platen_c: 150.0,
        press_step: PressStep::default(),
        cooling: Vec::new(),
        peel_c: 40.0,
    }
}

fn answer(question: &Question) -> Advice {
    advise(question, &Doubt::none()).expect("advice")
}

/// Dwell that gives the reference's flow dose alone.
fn needed(work: Assembly) -> f64 {
    answer(&question(work)).needed_for_dose_s.expect("within a minute")
}

/// Bond line at the end, hottest face, back of the cloth is not shown here.
#[test]
fn bond_line_and_face_case_by_case() {
    let cases = [
        ("tee", Assembly::usual(tee()), set(150.0, 15.0), 140.3, 136.9),
        ("tee, cover", Assembly::usual(tee()).covered(0.12), set(150.0, 15.0), 133.3, 129.9),
        ("tee, pillow", Assembly::usual(tee()).on_pillow(10.0), set(150.0, 15.0), 144.5, 142.7),
        ("tee, dry", Assembly::usual(tee().holding(0.0)), set(150.0, 15.0), 141.8, 139.0),
        ("tee, 12 %", Assembly::usual(tee().holding(0.12)), set(150.0, 15.0), 138.8, 135.0),
        ("tee, 8 K low", Assembly::usual(tee()), set(142.0, 15.0), 132.8, 130.0),
        ("polyester", Assembly::usual(polyester()), set(140.0, 10.0), 131.0, 127.9),
        ("polyester, cover", Assembly::usual(polyester()).covered(0.12), set(140.0, 10.0), 124.9, 121.7),
        ("fleece", Assembly::usual(fleece()), set(150.0, 15.0), 143.0, 140.6),
        ("nylon", Assembly::usual(nylon()), set(160.0, 15.0), 150.6, 147.3),
        ("nylon, cool", Assembly::usual(nylon()), set(135.0, 10.0), 125.1, 121.7),
        ("denim", Assembly::usual(denim()), set(150.0, 15.0), 137.6, 133.4),
        ("low, 275 °F", Assembly::usual(tee()), set(135.0, 10.0), 124.2, 120.5),
        ("low, 280 °F", Assembly::usual(tee()), set(137.8, 10.0), 126.8, 123.0),
        ("low polyester", Assembly::usual(polyester()), set(130.0, 10.0), 121.8, 119.0),
        ("acrylic", Assembly::usual(acrylic()), set(135.0, 10.0), 128.1, 125.8),
    ];
    for (what, work, setting, bond, face) in cases {
        let seen = pressed(&work, setting);
        near(seen.bond_end_c, bond, 0.6, &format!("{what}, bond"));
        near(seen.face_peak_c, face, 0.7, &format!("{what}, face"));
    }
    let mut two = Assembly::usual(tee());
    two.cloth.push(tee());
    near(pressed(&two, set(150.0, 15.0)).bond_end_c, 140.4, 0.3, "two layers");
    let warm = Surroundings { pad_start_c: 60.0, ..Surroundings::default() };
    let warm = press(&Assembly::usual(tee()), &[], set(150.0, 15.0), warm, 110.0).expect("presses");
    near(warm.bond_end_c, 142.5, 0.3, "warm pad");
}

#[test]
fn bare_cloth_beside_the_transfer_runs_hotter() {
    for (what, cloth, setting, bare, covered) in [
        ("tee", tee(), set(150.0, 15.0), 147.0, 142.1),
        ("polyester", polyester(), set(140.0, 10.0), 136.9, 132.3),
        ("nylon", nylon(), set(160.0, 15.0), 156.8, 152.1),
    ] {
        let work = Assembly::usual(cloth);
        let seen = pressed(&work.bare(), setting);
        near(seen.face_peak_c, bare, 0.5, what);
        near(pressed(&work.clone().covered(0.12).bare(), setting).face_peak_c, covered, 0.5, what);
        assert!(seen.face_peak_c > pressed(&work, setting).face_peak_c + 8.0, "{what}");
    }
}

#[test]
fn dwell_that_gives_the_recipes_dose() {
    let cold = |platen_c: f64| {
        let mut question = question(Assembly::usual(tee()));
        question.platen_c = platen_c;
        question.maker.platen_c = (platen_c, platen_c);
        answer(&question).needed_for_dose_s.expect("within a minute")
    };
    near(needed(Assembly::usual(tee())), 15.0, 0.05, "the reference itself");
    near(needed(Assembly::usual(tee()).covered(0.12)), 20.0, 0.6, "cover sheet");
    near(cold(142.0), 19.4, 0.6, "platen 8 K low");
    near(cold(146.0), 17.0, 0.4, "platen 4 K low");
    near(cold(154.0), 13.4, 0.4, "platen 4 K high");
    near(cold(158.0), 12.0, 0.4, "platen 8 K high");
    near(needed(Assembly::usual(denim())), 17.4, 0.5, "denim");
    near(needed(Assembly::usual(tee().holding(0.12))), 16.3, 0.4, "12 % of water");
    near(needed(Assembly::usual(fleece())), 11.8, 0.5, "fleece");
    let mut loose = Assembly::usual(fleece());
    loose.joints.adhesive_cloth = 700.0;
    near(needed(loose.clone()), 13.5, 0.5, "fleece, poor contact");
    loose.joints.adhesive_cloth = 400.0;
    near(needed(loose), 16.0, 0.8, "fleece, bad contact");
    near(needed(Assembly::usual(polyester())), 12.8, 0.4, "polyester");
    near(needed(Assembly::usual(tee()).on_pillow(10.0)), 13.2, 0.4, "pillow");
    let mut solid = Assembly::usual(tee());
    (solid.under[0].conductivity_w_mk, solid.under[0].density_kg_m3) = (0.24, 1150.0);
    near(needed(solid.clone()), 18.5, 0.6, "solid silicone pad");
    let mut soft = Assembly::usual(tee());
    (soft.under[0].conductivity_w_mk, soft.under[0].density_kg_m3) = (0.06, 300.0);
    let moved = pressed(&soft, set(150.0, 15.0)).bond_end_c - pressed(&solid, set(150.0, 15.0)).bond_end_c;
    near(moved, 8.5, 1.5, "pad from soft to solid");
    let paper = Assembly { carrier: Some(paper_carrier(0.12)), ..Assembly::usual(tee()) };
    // Another implementation's paper takes 17 s; this one's agrees with a general-purpose solver (presses.rs).
    near(needed(paper), 16.25, 0.1, "paper carrier");
}

/// Thick pile gets no extra dwell for heat, and never less than the maker's;
/// cover sheet, cold platen and dense cotton get more, at most 5 s.
#[test]
fn the_policy_never_shortens_and_adds_little() {
    let fleece = answer(&question(Assembly::usual(fleece())));
    assert!(fleece.needed_for_dose_s.expect("reached") < 13.0);
    assert_eq!((fleece.dwell_s, fleece.verdict), (15.0, Verdict::AsMaker));
    let denim_answer = answer(&question(Assembly::usual(denim())));
    assert!(
        matches!(denim_answer.verdict, Verdict::Longer { by_s } if (2.0..=3.0).contains(&by_s)),
        "{denim_answer:?}"
    );
    let cover = answer(&question(Assembly::usual(tee()).covered(0.12)));
    assert!(matches!(cover.verdict, Verdict::Longer { by_s } if (4.0..=5.0).contains(&by_s)), "{:?}", cover.verdict);
    let mut cold = question(Assembly::usual(tee()).covered(0.12));
    cold.maker.platen_c = (142.0, 142.0);
    let cold = answer(&cold);
    assert_eq!((cold.dwell_s, cold.verdict), (15.0, Verdict::TestOrOther { why: Constraint::MakerDwell }));
    let mut puff = question(Assembly::usual(denim()));
    puff.maker.longer = Longer::Harmful;
    let puff = answer(&puff);
    assert_eq!((puff.dwell_s, puff.verdict), (15.0, Verdict::TestOrOther { why: Constraint::NeverLonger }));
    let pillow = answer(&question(Assembly::usual(tee()).on_pillow(10.0)));
    assert!(pillow.bond_end_c > 143.0 && pillow.dwell_s == 15.0);
}

/// Whatever is asked, the answer stays on the maker's sheet.
#[test]
fn the_makers_range_is_never_left() {
    for (asked, low, high) in
        [(120.0, 145.0, 155.0), (150.0, 145.0, 155.0), (180.0, 145.0, 155.0), (150.0, 140.0, 141.0)]
    {
        for cloth in [tee(), denim(), polyester(), acrylic()] {
            let mut question = question(Assembly::usual(cloth));
            question.platen_c = asked;
            question.maker.platen_c = (low, high);
            question.maker.dwell_s = (12.0, 15.0);
            let answer = answer(&question);
            assert!((low..=high).contains(&answer.platen_c), "{asked}: {}", answer.platen_c);
            assert!((15.0..=20.0).contains(&answer.dwell_s), "{asked}: {}", answer.dwell_s);
        }
    }
}

#[test]
fn cloth_that_bears_nothing_is_refused_by_name() {
    let mut question = question(Assembly::usual(acrylic()));
    question.maker.platen_c = (145.0, 155.0);
    match answer(&question).verdict {
        Verdict::None { constraint: Constraint::BareCloth, by_k } => near(by_k, 12.5, 3.0, "excess at 145 °C"),
        other => panic!("{other:?}"),
    }
}

/// (first °C, last °C) of the open window; recipe ± 15 K, 1 to 2 dwells.
fn open(cloth: Cloth, recipe: Setting, activation_c: f64, limit_c: f64) -> Option<(f64, f64)> {
    let known = press(&Assembly::reference(), &[], recipe, Surroundings::default(), activation_c).expect("presses");
    let search = Search {
        target: &Assembly::usual(cloth),
        steps: &[],
        around: Surroundings::default(),
        rule: heat::dose::DoseRule::gated_at(activation_c),
        dose_s: known.dose_s,
        above_s: known.above_activation_s,
        limits: FaceLimits { warn_c: limit_c, stop_c: limit_c },
    };
    let platens: Vec<f64> = (-30..=30).map(|k| recipe.platen_c + 0.5 * f64::from(k)).collect();
    let window = window(&search, &platens, (recipe.dwell_s, 2.0 * recipe.dwell_s)).expect("a window");
    let open: Vec<f64> = window.open().map(|c| c.platen_c).collect();
    open.first().copied().zip(open.last().copied())
}

#[test]
fn windows_by_cloth_and_limit() {
    let (a, b) = (set(150.0, 15.0), set(130.0, 15.0));
    for (what, cloth, recipe, activation, limit, expected) in [
        ("polyester A 150", polyester(), a, 110.0, 150.0, Some((135.0, 152.5))),
        ("dark polyester A 130", polyester(), a, 110.0, 130.0, None),
        ("dark polyester B 130", polyester(), b, 95.0, 130.0, Some((115.0, 132.5))),
        ("sublimation B 120", polyester(), b, 95.0, 120.0, Some((115.0, 120.0))),
        ("nylon A 140", nylon(), a, 110.0, 140.0, Some((135.0, 142.5))),
        ("stretch A 140", stretch(), a, 110.0, 140.0, Some((135.0, 142.5))),
        ("acrylic A 130", acrylic(), a, 110.0, 130.0, None),
        ("acrylic B 130", acrylic(), b, 95.0, 130.0, Some((115.0, 130.0))),
        ("acrylic B 110", acrylic(), b, 95.0, 110.0, None),
        ("fleece A 150", fleece(), a, 110.0, 150.0, Some((135.0, 150.0))),
    ] {
        match (open(cloth, recipe, activation, limit), expected) {
            (None, None) => {}
            (Some((first, last)), Some((low, high))) => {
                near(first, low, 1.5, &format!("{what}, cold edge"));
                near(last, high, 2.5, &format!("{what}, hot edge"));
            }
            other => panic!("{what}: {other:?}"),
        }
    }
}

#[test]
fn cooling_by_where_it_lies() {
    let ways = [
        Cooling::MetalPlate,
        Cooling::Fan,
        Cooling::Table,
        Cooling::Hung,
        Cooling::Insulated,
        Cooling::OnPad,
        Cooling::Piled { pieces: 6 },
    ];
    let around = Surroundings::default();
    let cooled = |room_c: f64, peel_c: f64| {
        let around = Surroundings { room_c, ..around };
        cooled_after(&Assembly::usual(tee()), &[], set(150.0, 15.0), around, &ways, peel_c).expect("cools").cooled
    };
    let to_40 = cooled(22.0, 40.0);
    let seconds: Vec<f64> = to_40.iter().map(|c| c.to_peel_s.expect("practical")).collect();
    assert!(seconds.windows(2).all(|pair| pair[0] < pair[1]), "order: {seconds:?}");
    for (at, (low, high)) in
        [(16.0, 26.0), (22.0, 26.0), (37.0, 41.0), (60.0, 68.0), (85.0, 105.0), (118.0, 134.0)].into_iter().enumerate()
    {
        assert!((low..=high).contains(&seconds[at]), "{:?}: {}", ways[at], seconds[at]);
    }
    assert!(seconds[6] > 5.0 * seconds[2], "a pile cools many times slower: {seconds:?}");
    assert!(cooled(28.0, 30.0).iter().all(|c| c.to_peel_s.is_none()), "2 K over the room is not practical");
    assert!(to_40.iter().all(|c| c.to_handling_s.expect("practical") < c.to_peel_s.expect("practical")));
}

/// Preheating dries; its own heat is worth about 2 K.
#[test]
fn preheating_a_damp_tee() {
    let damp = Assembly::usual(tee().holding(0.08));
    let after = |closed_s: f64| {
        let preheat = Step::Preheat { platen_c: 150.0, closed_s, open_s: 5.0 };
        press(&damp, &[preheat], set(150.0, 15.0), Surroundings::default(), 110.0).expect("presses").bond_end_c
    };
    near(pressed(&damp, set(150.0, 15.0)).bond_end_c, 140.0, 0.3, "8 %");
    near(after(3.0), 141.7, 0.6, "3 s");
    near(after(5.0), 142.4, 0.6, "5 s");
}

/// Pressed from the inside the cloth lies between platen and adhesive: the
/// bond line is far slower, and dense cloth slower still. Seconds until 110 and
/// 120 °C; a fleece of 1 mm is still near 95 °C after 40 s.
#[test]
fn heat_through_the_garment_is_another_case() {
    let around = Surroundings::default();
    let bond = |cloth: Cloth, dwell_s: f64| {
        press(&Assembly::usual(cloth), &[Step::Turn], set(150.0, dwell_s), around, 110.0).expect("presses").bond_end_c
    };
    for (what, cloth, to_110, to_120) in
        [("tee", tee(), 13.0, 21.0), ("polyester", polyester(), 10.0, 17.0), ("denim", denim(), 25.0, 37.0)]
    {
        for (reached, seconds) in [(110.0, to_110), (120.0, to_120)] {
            let first = (1..=120).map(|half| f64::from(half) * 0.5).find(|&s| bond(cloth.clone(), s) >= reached);
            near(first.expect("within a minute"), seconds, 1.0, &format!("{what} to {reached} °C"));
        }
    }
    near(bond(fleece(), 40.0), 95.0, 2.5, "fleece after 40 s");
    let seen = press(&Assembly::usual(tee()), &[Step::Turn], set(150.0, 30.0), around, 110.0).expect("presses");
    let straight = pressed(&Assembly::usual(tee()), set(150.0, 30.0));
    assert!(seen.face_peak_c > seen.bond_end_c + 15.0, "the cloth under the platen is far hotter: {seen:?}");
    assert!(seen.dose_s < 0.5 * straight.dose_s, "and the adhesive gets far less");
    let twice = press(&Assembly::usual(tee()), &[Step::Turn, Step::Turn], set(150.0, 30.0), around, 110.0);
    near(twice.expect("presses").bond_end_c, straight.bond_end_c, 1e-6, "turned and turned back");
}

/// A recipe from the inside is compared with itself from the inside: on its own
/// cloth it is the maker's dwell, on denim far longer than may be added.
#[test]
fn a_recipe_from_the_inside_has_its_own_dwell() {
    let inside = |cloth: Cloth| {
        let question = question(Assembly::usual(cloth));
        Question {
            reference_setting: set(150.0, 30.0),
            reference_steps: vec![Step::Turn],
            steps: vec![Step::Turn],
            maker: MakerLimits { dwell_s: (30.0, 30.0), ..question.maker },
            ..question
        }
    };
    let own = answer(&inside(tee()));
    assert_eq!((own.dwell_s, own.verdict), (30.0, Verdict::AsMaker));
    let denim_answer = answer(&inside(denim()));
    assert_eq!(denim_answer.verdict, Verdict::TestOrOther { why: Constraint::MakerDwell });
    let thin = answer(&inside(polyester()));
    assert!(thin.needed_s.expect("reached") < 29.0 && thin.dwell_s == 30.0, "{:?}", thin.needed_s);
}

/// What stops an operator on each side of the advised setting.
#[test]
fn leeway_names_what_closes_each_side() {
    let mut wide = question(Assembly::usual(polyester()));
    wide.maker.platen_c = (120.0, 165.0);
    wide.maker.dwell_s = (5.0, 15.0);
    wide.maker.activation_c = Some(110.0);
    wide.cloth_limits = FaceLimits { warn_c: 145.0, stop_c: 155.0 };
    let wide = answer(&wide).leeway.expect("serves");
    assert_eq!((wide.colder, wide.hotter), (Constraint::AdhesiveUnset, Constraint::BareCloth), "{wide:?}");
    assert_eq!((wide.shorter, wide.longer), (Constraint::AdhesiveUnset, Constraint::MakerDwell), "{wide:?}");
    assert!(wide.platen_c.0 > 140.0 && wide.platen_c.1 < 160.0, "{wide:?}");
    assert!(wide.dwell_s.0 > 12.0 && wide.dwell_s.1 == 20.0, "{wide:?}");
    let narrow = answer(&question(Assembly::usual(polyester()))).leeway.expect("serves");
    assert_eq!(narrow.platen_c, (150.0, 150.0));
    assert_eq!((narrow.colder, narrow.hotter, narrow.shorter), ([Constraint::MakerSheet; 3]).into());
    let mut burnt = question(Assembly::usual(acrylic()));
    burnt.maker.platen_c = (145.0, 155.0);
    assert_eq!(answer(&burnt).leeway, None);
}

/// The longer steps of the search find the dwell that the press's own steps find.
#[test]
fn a_search_agrees_with_the_press() {
    for cloth in [tee(), denim(), polyester(), fleece(), nylon()] {
        let mut question = question(Assembly::usual(cloth));
        question.maker.activation_c = Some(110.0);
        let answer = answer(&question);
        let column = answer.window.as_ref().and_then(|w| w.columns.iter().find(|c| c.platen_c == 150.0).copied());
        let (found, exact) = (column.and_then(|c| c.set_from_s), answer.needed_s);
        near(found.expect("reached"), exact.expect("reached"), 0.1, "dwell");
        let brief = verdict(&question).expect("a verdict");
        assert_eq!(
            (brief.dwell_s, brief.verdict, brief.bond_end_c),
            (answer.dwell_s, answer.verdict, answer.bond_end_c)
        );
    }
}

/// Four makers' recipes as the trade knows them (common practice, no source):
/// each has its bond line well above 110 °C at the end of the full press.
#[test]
fn four_known_recipes_set_their_adhesive() {
    let around = Surroundings::default();
    let end = |work: &Assembly, steps: &[Step], setting: Setting| {
        press(work, steps, setting, around, 110.0).expect("presses")
    };
    let elastic = end(&Assembly::usual(stretch()), &[], set(138.0, 10.0));
    let repellent = end(&Assembly::usual(nylon()), &[], set(135.0, 12.0));
    let two_visits =
        [Step::Tack(set(140.0, 2.0)), Step::Cool { way: Cooling::Table, seconds: 45.0 }, Step::PeelCarrier];
    let nylon_grade = end(&Assembly::usual(nylon()).covered(0.12), &two_visits, set(140.0, 10.0));
    let sheet = end(&Assembly::usual(tee()).covered(0.12), &[], set(149.0, 13.0));
    for (what, seen) in [("elastic", elastic), ("repellent", repellent), ("two visits", nylon_grade), ("sheet", sheet)]
    {
        assert!(seen.bond_end_c > 118.0, "{what}: {:.1}", seen.bond_end_c);
        assert!(seen.above_activation_s > 3.0, "{what}: {:.1}", seen.above_activation_s);
    }
}

/// A tack warms, a rest cools, the carrier's going takes a resistance away.
#[test]
fn a_recipe_of_two_visits_is_simulated_as_such() {
    let around = Surroundings::default();
    let work = Assembly::usual(nylon());
    let full = set(140.0, 10.0);
    let straight = press(&work, &[], full, around, 110.0).expect("presses");
    let tacked = press(&work, &[Step::Tack(set(140.0, 2.0))], full, around, 110.0).expect("presses");
    assert!(tacked.dose_s > straight.dose_s);
    let peeled = press(&work, &[Step::Tack(set(140.0, 2.0)), Step::PeelCarrier], full, around, 110.0).expect("presses");
    assert!(peeled.bond_end_c > tacked.bond_end_c);
}

#[test]
fn an_earlier_print_is_heated_again() {
    let earlier = Assembly::usual(tee()).peeled();
    let extra = extra_heat(&earlier, set(150.0, 15.0), Surroundings::default(), 110.0).expect("heats");
    assert!(extra.bond_peak_c > 141.0 && extra.above_activation_s > 13.0, "{extra:?}");
    let covered = Assembly { cover: Some(cover_sheet(0.12)), ..earlier };
    let less = extra_heat(&covered, set(150.0, 15.0), Surroundings::default(), 110.0).expect("heats");
    assert!(less.bond_peak_c < extra.bond_peak_c && less.dose_s < extra.dose_s);
}

/// 5–50–95 % of the dwell ratio to the reference, and of the tee's bond line.
/// The ratios expected are from 120 draws of another implementation with another
/// generator: each end is held to about a fifth of the span. Its tee ended at
/// 137.7–141.4–144.6; 400 draws through a general-purpose solver, from the spans
/// as they are stated, give those below (presses.rs).
#[test]
fn doubt_has_the_expected_spans() {
    let spans = |work: Assembly| ranges(&question(work), &Doubt::sampled(1, 200)).expect("ranges");
    let check = |what: &str, (low, middle, high): (f64, f64, f64), [a, b, c]: [f64; 3], near_by: f64| {
        near(low, a, near_by, &format!("{what} 5 %"));
        near(middle, b, near_by, &format!("{what} 50 %"));
        near(high, c, near_by, &format!("{what} 95 %"));
    };
    let tee_spans = spans(Assembly::usual(tee()));
    check("tee bond", tee_spans.bond_end_exact_c.expect("sampled"), [136.13, 140.80, 144.43], 1.0);
    let ratio = |work: Assembly| spans(work).ratio.expect("sampled");
    check("fleece", ratio(Assembly::usual(fleece())), [0.67, 0.81, 0.93], 0.06);
    check("polyester", ratio(Assembly::usual(polyester())), [0.80, 0.86, 0.91], 0.04);
    check("denim", ratio(Assembly::usual(denim())), [1.08, 1.18, 1.31], 0.06);
    check("cover", ratio(Assembly::usual(tee()).covered(0.12)), [1.22, 1.33, 1.53], 0.08);
}

#[test]
fn the_same_seed_gives_the_same_range_on_any_number_of_threads() {
    let question = question(Assembly::usual(denim()));
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("a pool");
        pool.install(|| advise(&question, &Doubt::sampled(9, 40)).expect("advice"))
    };
    let (one, three) = (on(1), on(3));
    assert_eq!(format!("{one:?}"), format!("{three:?}"));
    let other = advise(&question, &Doubt::sampled(10, 40)).expect("advice");
    assert_ne!(one.matters, other.matters);
}

/// The true platen temperature leads, and a measured input drops out.
#[test]
fn what_matters_most_is_named() {
    use heat::press::Unsure;
    let question = question(Assembly::usual(tee()).covered(0.12));
    let answer = advise(&question, &Doubt::sampled(3, 150)).expect("advice");
    let leading: Vec<Unsure> = answer.matters.iter().take(3).map(|m| m.input).collect();
    assert!(leading.contains(&Unsure::Platen), "{leading:?}");
    let known = Doubt { known: vec![Unsure::CoverCarrier, Unsure::Platen], ..Doubt::sampled(3, 150) };
    let measured = advise(&question, &known).expect("advice");
    let effect = |unsure: Unsure| measured.matters.iter().find(|m| m.input == unsure).map_or(0.0, |m| m.effect_s);
    assert_eq!((effect(Unsure::CoverCarrier), effect(Unsure::Platen)), (0.0, 0.0));
    let width = |span: Option<(f64, f64)>| span.map_or(0.0, |(low, high)| high - low);
    assert!(width(measured.needed_range_s) <= width(answer.needed_range_s));
}
