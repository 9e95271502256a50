//! `sowrota trial` at the line: what to set stands in the first line, bad input gets an answer, and the log stays whole.

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use unicode_width::UnicodeWidthStr;

/// Exit code, standard output and standard error, with lines typed.
fn typed(arguments: &[&str], lines: &[u8]) -> (i32, String, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_sowrota"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .arg("trial")
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // Who ends before reading all of it is no fault of the test.
    let _ = child.stdin.take().unwrap().write_all(lines);
    let ran = child.wait_with_output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (
        ran.status.code().unwrap(),
        text(ran.stdout),
        text(ran.stderr),
    )
}

fn trial(arguments: &[&str]) -> (i32, String, String) {
    typed(arguments, b"")
}

fn first(text: &str) -> &str {
    text.lines().next().unwrap_or("")
}

fn narrow(text: &str) {
    assert!(text.lines().all(|line| line.width() <= 80), "{text}");
}

#[test]
fn one_two_three_and_many_trays() {
    let (code, one, _) = trial(&["seed", "--pair", "34=172"]);
    assert_eq!((code, first(&one)), (0, "SET 44, weigh a tray"));
    // 34 × 225 ÷ 172 = 44.5; from one tray in proportion.
    let (_, fine, _) = trial(&["seed", "--step", "0.1", "--pair", "34=172"]);
    assert_eq!(first(&fine), "SET 44.5, weigh a tray");
    let (_, two, _) = trial(&["seed", "--pair", "34=172", "--pair", "36=181"]);
    assert_eq!(first(&two), "SET 45, weigh a tray");
    let many = [
        "34=172", "36=181", "37=260", "44=226", "44=221", "44=229", "44=224",
    ];
    let pairs: Vec<&str> = many.iter().flat_map(|pair| ["--pair", pair]).collect();
    let (_, text, _) = trial(&[&["seed"], &pairs[..]].concat());
    assert!(
        text.starts_with("LEAVE 44: seed is right, 99 % sure from 4 trays\n"),
        "{text}"
    );
    assert!(
        text.contains("   3       37    260  +16 %  OUTLIER, left out: the others say 188 g\n"),
        "{text}"
    );
    assert!(text.contains("all four again: bed soil, water, seed, cover"));
    assert!(text.contains("carriage and\n         power last") || text.contains("power last"));
    assert!(text.contains("isolate the line before clearing a jam"));
    for text in [one, two, text] {
        narrow(&text);
    }
}

#[test]
fn the_target_is_the_scenarios_made_wet() {
    let village = "scenarios/village";
    let of = |what: &str, pair: &str| {
        let arguments = [
            what,
            "--scenario",
            village,
            "--kind",
            "mirel",
            "--pair",
            pair,
        ];
        trial(&arguments).1
    };
    // 150 g dry × 1.25 = 187.5 g.
    assert!(
        of("seed", "30=150").contains("wanted   188 g wet a tray (178 to 197); 150 g dry x 1.25\n")
    );
    assert!(of("bed", "30=18").contains("wanted   20 mm a tray (19 to 21)\n"));
    assert!(of("cover", "30=8").contains("wanted   7 mm a tray (6.65 to 7.35)\n"));
    assert!(of("water", "30=1").contains("wanted   1.2 L a tray (1.14 to 1.26)\n"));
    // 6 L/min at 300 trays/h are 1.2 L a tray.
    assert!(of("water", "30=6 L/min").starts_with("KEEP 30, measure another\n"));
    let (_, dry, _) = trial(&["seed", "--dry", "120", "--pair", "30=150"]);
    assert!(first(&dry).starts_with("KEEP 30"), "{dry}");
}

/// What is typed, and words of the answer.
const BAD: [(&[&str], &str); 23] = [
    (&["--pair", "a=172"], "the setting `a` is no number"),
    (&["--pair", "34=b"], "no number"),
    (&["--pair", "34"], "no setting with a reading"),
    (&["--pair", "="], "no setting with a reading"),
    (&["--pair", ""], "no setting with a reading"),
    (&["--pair", "34=-5"], "the reading -5 is negative"),
    (&["--pair", "-3=172"], "the setting -3 is negative"),
    (&["--pair", "34=172,5"], "type 172.5 with a point"),
    (&["--pair", "34=172.123"], "more than two decimals"),
    (&["--pair", "34=1e300"], "`e300` is the wrong unit"),
    (&["--pair", "34=99999999999999"], "too large"),
    (&["--pair", "34=NaN"], "the reading `NaN` is no number"),
    (&["--pair", "34=172 kg"], "`kg` is the wrong unit"),
    (&["--pair", "34=0.17"], "far from the 225 g wanted"),
    (&["--pair", "34=0"], "nothing came out at 34"),
    (
        &["--range", "0-30", "--pair", "34=172"],
        "the dial has no setting 34",
    ),
    (
        &["--pair", "20=180", "--pair", "30=180"],
        "does not follow the setting",
    ),
    (
        &["--pair", "20=180", "--pair", "30=181", "--pair", "40=180"],
        "does not follow the setting",
    ),
    (
        &["--pair", "20=240", "--pair", "30=150"],
        "the higher the setting, the less",
    ),
    (
        &["--pair", "34=172", "--pair", "34=260"],
        "172 g at 34 and 260 g at 34 contradict each other",
    ),
    (
        &[
            "--pair", "34=120", "--pair", "34=260", "--pair", "34=125", "--pair", "34=255",
        ],
        "the trays differ too much",
    ),
    (
        &["--range", "30-0", "--pair", "3=172"],
        "--range ends below",
    ),
    (
        &["--step", "0", "--pair", "3=172"],
        "the step must be more than 0",
    ),
];

#[test]
fn bad_input_gets_an_answer_and_nothing_is_logged() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("trials.csv");
    let log = log.to_str().unwrap();
    for (arguments, words) in BAD {
        let more = ["seed", "--log", log, "--on", "2027-04-17"];
        let (code, out, error) = trial(&[&more, arguments].concat());
        let one_line = error.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!((code, &out[..]), (2, ""), "{arguments:?}: {error}");
        assert!(one_line.contains(words), "{arguments:?}: {error}");
        assert!(error.starts_with("error: "), "{error}");
        narrow(&error);
        assert!(!Path::new(log).exists(), "{arguments:?}");
    }
    for (arguments, words) in [
        (
            &["seed", "--target", "0", "--pair", "1=1"][..],
            "the target must be more than 0",
        ),
        (
            &["bed", "--dry", "180", "--pair", "1=1"],
            "--dry is for seed",
        ),
        (
            &["seed", "--tolerance", "90", "--pair", "1=1"],
            "0.1 to 50 percent",
        ),
        (
            &["water", "--pair", "3=8 L/min"],
            "without the rate of the line",
        ),
        (
            &["seed", "--scenario", "scenarios/village", "--pair", "1=1"],
            "which kind is it?",
        ),
        (
            &[
                "seed",
                "--scenario",
                "scenarios/village",
                "--kind",
                "x",
                "--pair",
                "1=1",
            ],
            "one of mirel, sorrin",
        ),
        (&["seed", "--rate", "fast", "--pair", "1=1"], "is no rate"),
    ] {
        let (code, _, error) = trial(arguments);
        assert_eq!(code, 2, "{error}");
        assert!(error.contains(words), "{error}");
    }
}

#[test]
fn typed_line_by_line_with_a_log_that_the_next_season_starts_from() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("trials.csv");
    let log = log.to_str().unwrap();
    let nursery = ["seed", "--scenario", "scenarios/village", "--kind", "mirel"];
    let season = [&nursery[..], &["--log", log, "--on", "2027-04-17"]].concat();
    let lines = b"34 172\n36=181g\nrubbish\n36=0.1\nundo\n\n36: 183\n37 187 g\n37=188\nend\n99=1\n";
    let (code, out, error) = typed(&season, lines);
    assert_eq!(code, 0, "{error}");
    assert!(out.starts_with("SET what you think is right"), "{out}");
    for words in [
        "earth-leakage test",
        "licensed electrician",
        "dry hands",
        "1.5 kg",
        "guards on",
    ] {
        assert!(out.contains(words), "{words}: {out}");
    }
    let answers: Vec<&str> = out
        .lines()
        .filter(|line| {
            ["SET", "KEEP", "LEAVE"]
                .iter()
                .any(|word| line.starts_with(word))
        })
        .collect();
    assert_eq!(answers.len(), 6, "{out}");
    assert!(error.contains("`rubbish` is no setting"), "{error}");
    narrow(&out);
    let kept = fs::read_to_string(log).unwrap();
    let wanted = "date,line,kind,rate,what,setting,reading,note\n\
        2027-04-17,line,mirel,300,seed,34,172,\n\
        2027-04-17,line,mirel,300,seed,36,181,\n\
        2027-04-17,line,mirel,300,seed,36,181,undone\n\
        2027-04-17,line,mirel,300,seed,36,183,\n\
        2027-04-17,line,mirel,300,seed,37,187,\n\
        2027-04-17,line,mirel,300,seed,37,188,\n";
    assert_eq!(kept, wanted);
    // Later that day the trays in the log count on; another day they are the start.
    let (_, again, _) = trial(&[&season[..], &["--pair", "37=186"]].concat());
    assert!(again.contains("   5       37    186"), "{again}");
    let (_, next, _) = typed(
        &[&nursery[..], &["--from", log, "--on", "2028-04-15"]].concat(),
        b"",
    );
    assert!(
        next.starts_with("SET 37, weigh a tray\nfrom 5 trays up to 2027-04-17\n"),
        "{next}"
    );
    // At another rate it says so, and does not lean on it.
    let faster = [&nursery[..], &["--from", log, "--rate", "400"]].concat();
    let (_, faster, _) = typed(&faster, b"");
    assert!(
        faster.contains("at 300 trays/h then: weigh more"),
        "{faster}"
    );
    // Of another kind there is nothing.
    let other = [
        "seed",
        "--scenario",
        "scenarios/village",
        "--kind",
        "sorrin",
        "--from",
        log,
    ];
    assert!(typed(&other, b"").1.starts_with("SET what you think"));
}

#[test]
fn names_with_signs_that_steer_do_no_harm_in_the_log() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("trials.csv");
    let log = log.to_str().unwrap();
    for (name, kept) in [
        ("a\u{1b}[31mb", "a [31mb"),
        ("two\nrows,3\r\n", "\"two rows,3\""),
        ("=1+1", "'=1+1"),
        ("@cmd", "'@cmd"),
        ("say \"x\"", "\"say \"\"x\"\"\""),
        ("\u{202e}back\u{200b}", "back"),
        ("tab\tbell\u{7}", "tab bell"),
        ("早生", "早生"),
    ] {
        let _ = fs::remove_file(log);
        let arguments = [
            "seed",
            "--log",
            log,
            "--on",
            "2027-04-17",
            "--line",
            name,
            "--kind",
            name,
            "--note",
            name,
            "--pair",
            "34=172",
        ];
        let (code, _, error) = trial(&arguments);
        assert_eq!(code, 0, "{name:?}: {error}");
        let whole = fs::read_to_string(log).unwrap();
        let row = format!("2027-04-17,{kept},{kept},,seed,34,172,{kept}");
        assert_eq!(whole.lines().nth(1), Some(&row[..]), "{name:?}");
        assert_eq!(whole.lines().count(), 2, "{name:?}");
        // It is found again under the name as typed.
        let (_, second, _) = trial(&arguments);
        assert!(
            second.contains("   2       34    172"),
            "{name:?}: {second}"
        );
        let from = ["seed", "--from", log, "--line", name, "--kind", name];
        assert!(typed(&from, b"").1.contains("from 2 trays"), "{name:?}");
    }
}

#[test]
fn a_log_that_cannot_be_read_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let log = folder.path().join("trials.csv");
    let head = "date,line,kind,rate,what,setting,reading,note\n";
    for (text, words) in [
        ("a;b\n".to_string(), "row 1: the columns are"),
        (
            format!("{head}2027-02-30,,,,seed,1,2,\n"),
            "row 2: `2027-02-30` is no day",
        ),
        (
            format!("{head}2027-02-20,,,,seed,x,2,\n"),
            "row 2: `x` is no setting",
        ),
        (
            format!("{head}2027-02-20,,,,beans,1,2,\n"),
            "none of bed, water, seed, cover",
        ),
        (
            format!("{head}2027-02-20,,,,seed,1,2,undone\n"),
            "takes back a tray that is not there",
        ),
        (format!("{head}2027-02-20,,\n"), "row 2"),
    ] {
        fs::write(&log, &text).unwrap();
        let path = log.to_str().unwrap();
        let (code, out, error) = trial(&[
            "seed",
            "--log",
            path,
            "--on",
            "2027-04-17",
            "--pair",
            "34=172",
        ]);
        assert_eq!((code, &out[..]), (2, ""), "{error}");
        assert!(error.contains(words), "{error}");
        assert_eq!(fs::read_to_string(&log).unwrap(), text);
    }
    // Without a last newline the new row still is a row.
    fs::write(&log, head.trim_end()).unwrap();
    let path = log.to_str().unwrap();
    assert_eq!(
        trial(&[
            "seed",
            "--log",
            path,
            "--on",
            "2027-04-17",
            "--pair",
            "34=172"
        ])
        .0,
        0
    );
    assert_eq!(
        fs::read_to_string(&log).unwrap(),
        format!("{head}2027-04-17,,,,seed,34,172,\n")
    );
    // Nothing but the log is left in its folder.
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn any_bytes_typed_are_answered_and_the_same_bytes_give_the_same() {
    let lines = b"\xff\xfe=3\n34=\x1b[2J172\n34=172\n\x00\n=1+1\n40=1e9\n38=190\n";
    let once = typed(&["seed"], lines);
    assert_eq!(once.0, 0);
    assert!(
        !once.1.contains('\u{1b}') && !once.2.contains('\u{1b}'),
        "{once:?}"
    );
    assert_eq!(once, typed(&["seed"], lines));
    assert!(once.1.contains("   2       38    190"), "{}", once.1);
}
