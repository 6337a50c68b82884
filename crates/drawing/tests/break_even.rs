//! The chart of two ways over the quantity: what is drawn is what was given.

use drawing::{BreakEvenText, break_even};

fn chart(points: &[(u32, [f64; 2])], changes: &[(u32, usize)], ways: [&str; 2]) -> String {
    let text = BreakEvenText {
        title: "Two ways",
        description: "Tails <and> kites",
        ways,
        pieces_axis: "pieces",
        cost_axis: "cost of a piece",
        cost: &|cost| format!("{cost:.2}"),
        from: &|pieces| format!("from {pieces}"),
    };
    break_even(points, changes, &text)
}

/// Corners of the lines drawn through three points and more, in order.
fn corners(svg: &str) -> Vec<Vec<(f64, f64)>> {
    let number = |text: &str| text.parse::<f64>().expect("a number");
    svg.split("<path d=\"M")
        .skip(1)
        .filter_map(|part| part.split('"').next())
        .map(|data| {
            data.split('L').map(|p| p.split_once(' ').map(|(x, y)| (number(x), number(y))).expect("two")).collect()
        })
        .filter(|line: &Vec<(f64, f64)>| line.len() > 2)
        .collect()
}

/// Equal ratios are equal distances on a logarithmic scale (definition): 1, 10, 100 pieces
/// lie equally far apart, and so do costs of 8, 4 and 2. Cheaper is lower on the page.
#[test]
fn both_scales_are_logarithmic_and_cheaper_is_lower() {
    let svg = chart(&[(1, [8.0, 16.0]), (10, [4.0, 4.0]), (100, [2.0, 1.0])], &[(11, 1)], ["film", "sheets"]);
    let lines = corners(&svg);
    assert_eq!(lines.len(), 2);
    let (a, b, c) = (lines[0][0], lines[0][1], lines[0][2]);
    assert!(((b.0 - a.0) - (c.0 - b.0)).abs() < 0.05 && ((b.1 - a.1) - (c.1 - b.1)).abs() < 0.05, "{lines:?}");
    assert!(c.1 > a.1, "SVG counts downwards: the cheaper end is lower");
    assert!((lines[0][1].1 - lines[1][1].1).abs() < 0.01, "they meet at ten pieces");
    for word in ["film", "sheets", "from 11", "pieces", "cost of a piece", "&lt;and&gt;"] {
        assert!(svg.contains(word), "{word}");
    }
}

#[test]
fn strange_figures_are_left_out() {
    for points in [&[][..], &[(0, [1.0, 1.0])], &[(1, [f64::NAN, 1.0])], &[(1, [0.0, 1.0])], &[(7, [3.0, 3.0])]] {
        let svg = chart(points, &[], ["a way whose name is far too long to stand beside its line at all", "b"]);
        assert!(svg.starts_with("<svg") && svg.trim_end().ends_with("</svg>") && !svg.contains("NaN"));
    }
}
