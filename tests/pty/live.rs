//! The record's page, kept current beside a job that is worked.

use crate::terminal::{Bench, Terminal};

#[test]
fn a_page_follows_the_job_and_is_left_as_it_stands() {
    let bench = Bench::with_sample("three-layer");
    let page = || bench.read("page.html");
    let args = ["record", "plan.toml", "--html", "page.html", "--live"];
    let mut live = Terminal::start(bench.program(&args));
    live.wait("kept current until Ctrl-C");
    assert!(page().contains("Not begun") && page().contains("http-equiv=\"refresh\""));
    let mut work = Terminal::start(bench.work(&["--key-gap", "0"]));
    work.wait("READ THIS ONCE");
    work.keys("+");
    live.poll("the page of a job that has begun", || {
        page().contains("NOT FINISHED")
    });
    // Written whole every time: whoever reads meanwhile has a page to its end.
    for _ in 0..20 {
        assert!(page().ends_with("</html>"));
    }
    work.keys("nheard on the page\r");
    live.poll("the note on the page", || {
        page().contains("heard on the page")
    });
    work.keys("\x03");
    work.ended_with(0);
    live.keys("\x03");
    live.ended_with(0);
    assert!(!page().contains("refresh") && page().contains("heard on the page"));
}
