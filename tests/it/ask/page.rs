//! `shared/ASK.md` says what the program does, word for word.

use super::*;

fn path() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("shared/ASK.md")
}

/// A command line split at spaces, quotes kept together.
fn split(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => {
                if !word.is_empty() {
                    words.push(std::mem::take(&mut word));
                }
            }
            c => word.push(c),
        }
    }
    words.push(word);
    words
}

/// The arguments behind `$ anvilside ask` of an example.
fn example(line: &str) -> Option<Vec<String>> {
    line.strip_prefix("$ anvilside ask ").map(split)
}

/// What an example prints, refusals too.
fn output(args: &[String]) -> String {
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let (_, out, err) = run(&args);
    format!("{out}{err}")
}

/// The flags of a topic as a table.
fn flags(topic: &str) -> String {
    let mut command = anvilside::cli::command();
    command.build();
    let ask = command.find_subcommand("ask").unwrap();
    let topic = ask.find_subcommand(topic).unwrap();
    let mut lines = vec![
        "| flag | takes | default | what |".to_owned(),
        "|---|---|---|---|".to_owned(),
    ];
    for flag in topic.get_arguments().filter(|flag| !flag.is_global_set()) {
        let Some(long) = flag.get_long().filter(|long| *long != "help") else {
            continue;
        };
        let names = flag.get_value_names().unwrap_or_default();
        let choices: Vec<String> = flag
            .get_possible_values()
            .iter()
            .map(|v| format!("`{}`", v.get_name()))
            .collect();
        let takes = if !flag.get_action().takes_values() {
            String::new()
        } else if choices.is_empty() {
            names.first().map(ToString::to_string).unwrap_or_default()
        } else {
            choices.join(", ")
        };
        let defaults: Vec<String> = flag
            .get_default_values()
            .iter()
            .filter(|_| flag.get_action().takes_values())
            .map(|value| value.to_string_lossy().into_owned())
            .collect();
        let default = if flag.is_required_set() {
            "required".to_owned()
        } else {
            defaults.join(" ")
        };
        let what = flag.get_help().map(ToString::to_string).unwrap_or_default();
        lines.push(format!("| `--{long}` | {takes} | {default} | {what} |"));
    }
    if lines.len() == 2 {
        return "No flags of its own.".to_owned();
    }
    lines.join("\n")
}

/// Keys of `inputs` and `answer` as the examples of a topic give them; they must not change between
/// examples.
fn keys(topic: &str, examples: &[Vec<String>]) -> String {
    let of = |part: &str| -> Vec<String> {
        let mut first: Option<BTreeSet<String>> = None;
        for args in examples.iter().filter(|args| args[0] == topic) {
            let args: Vec<&str> = args.iter().map(String::as_str).collect();
            if run(&args).0 != 0 {
                continue;
            }
            let found = json(&args);
            let keys: BTreeSet<String> = found[part].as_object().unwrap().keys().cloned().collect();
            let before = first.get_or_insert_with(|| keys.clone());
            assert_eq!(*before, keys, "{args:?}");
        }
        first
            .unwrap()
            .into_iter()
            .map(|key| format!("`{key}`"))
            .collect()
    };
    format!(
        "JSON inputs: {}.\nJSON answer: {}.",
        of("inputs").join(", "),
        of("answer").join(", ")
    )
}

/// The page with every table and output as the program gives them now.
fn made(page: &str) -> String {
    let examples: Vec<Vec<String>> = page.lines().filter_map(example).collect();
    let mut lines = Vec::new();
    let mut skipping = false;
    let mut console = false;
    for line in page.lines() {
        if skipping && line == "<!-- end -->" {
            skipping = false;
        }
        if line == "```console" {
            console = true;
        } else if line.starts_with("```") {
            console = false;
        }
        let answer = console && !line.starts_with("$ ") && line != "```console";
        if skipping || answer {
            continue;
        }
        lines.push(line.to_owned());
        if let Some(args) = example(line) {
            lines.extend(output(&args).lines().map(str::to_owned));
        }
        let mark = |what: &str| {
            line.strip_prefix(what)?
                .strip_suffix(" -->")
                .map(str::to_owned)
        };
        let body = mark("<!-- flags ")
            .map(|topic| flags(&topic))
            .or_else(|| mark("<!-- keys ").map(|topic| keys(&topic, &examples)));
        if let Some(body) = body {
            lines.push(body);
            skipping = true;
        }
    }
    lines.join("\n") + "\n"
}

#[test]
fn tables_and_outputs_are_what_the_program_gives() {
    let page = std::fs::read_to_string(path()).unwrap();
    let now = made(&page);
    if std::env::var_os("BLESS").is_some() {
        #[allow(clippy::disallowed_methods, reason = "a test writes the page itself")]
        std::fs::write(path(), &now).unwrap();
        return;
    }
    for (kept, now) in page.lines().zip(now.lines()) {
        assert_eq!(
            kept, now,
            "write the page anew with BLESS=1 cargo test --test it ask"
        );
    }
    assert_eq!(page.lines().count(), now.lines().count());
}

#[test]
fn every_topic_has_its_flags_its_keys_and_examples_in_both_systems() {
    let page = std::fs::read_to_string(path()).unwrap();
    let examples: Vec<Vec<String>> = page.lines().filter_map(example).collect();
    for topic in topics() {
        assert!(
            page.contains(&format!("\n## `{topic}`")),
            "{topic} has no section"
        );
        assert!(
            page.contains(&format!("<!-- flags {topic} -->")),
            "{topic} has no flags"
        );
        let own: Vec<_> = examples.iter().filter(|args| args[0] == topic).collect();
        if topic == "sources" {
            assert!(!own.is_empty());
            continue;
        }
        assert!(
            page.contains(&format!("<!-- keys {topic} -->")),
            "{topic} has no keys"
        );
        let inch = |args: &&Vec<String>| args.windows(2).any(|pair| pair == ["--units", "in"]);
        assert!(own.iter().any(inch), "{topic} has no example in inches");
        assert!(!own.iter().all(inch), "{topic} has no example in mm");
    }
}
