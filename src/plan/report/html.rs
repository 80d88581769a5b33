//! What the pages share: their head, their style and their tables. One file each, no script, no network;
//! light and dark, for a screen of any width and for paper.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::plan::legal;

/// What a page names as its maker.
const MAKER: &str = "anvilside";

/// Colours stand here alone; a test works the contrast of each pair out of these lines.
const COLOURS: &str = "
:root{--paper:#fdfcfa;--ink:#1c1a18;--soft:#57524c;--line:#857e75;--box:#f2efea;--one:#175a9c;--two:#9a3d12;--range:#cfdcea;color-scheme:light}
@media screen and (prefers-color-scheme:dark){
:root{--paper:#161719;--ink:#ece8e2;--soft:#b9b2a8;--line:#8d867c;--box:#222427;--one:#8fc1f5;--two:#f3b27a;--range:#2c4258;color-scheme:dark}
}
";

const STYLE: &str = "
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{font:1rem/1.45 system-ui,sans-serif;color:var(--ink);background:var(--paper);margin:0 auto;max-width:62rem;padding:1rem 1rem 3rem}
h1{font-size:1.9rem;line-height:1.15;margin:.4rem 0}h2{font-size:1.35rem;margin:2.4rem 0 .6rem;border-bottom:2px solid var(--line);padding-bottom:.15rem}
h3{font-size:1.1rem;margin:1.6rem 0 .3rem}h4{font-size:1rem;margin:1.1rem 0 .15rem}
p{margin:.3rem 0 .7rem}a{color:var(--one)}:focus-visible{outline:3px solid var(--two);outline-offset:2px}
.skip{position:absolute;left:-99rem}.skip:focus{left:1rem;top:.5rem;background:var(--paper);padding:.5rem;z-index:1}
.soft{color:var(--soft)}.wide{overflow-x:auto;margin:.4rem 0 1rem}
table{border-collapse:collapse;width:100%}caption{text-align:left;color:var(--soft);padding:.2rem 0}
th,td{border:1px solid var(--line);padding:.25rem .5rem;text-align:left;vertical-align:top}
thead th{background:var(--box)}th[scope=row]{font-weight:600}.wide th[scope=row]{min-width:7.5rem}thead{display:table-header-group}
.deferral{border:2px solid var(--ink);padding:.4rem .8rem;margin:1.2rem 0}
dl.facts{display:grid;grid-template-columns:repeat(auto-fill,minmax(13rem,1fr));gap:.6rem 1.2rem;margin:1rem 0}
dl.facts dt{color:var(--soft);font-size:.9rem}dl.facts dd{margin:0;font-weight:600}
figure{margin:1rem 0}figcaption{color:var(--soft);font-size:.95rem}img{max-width:100%;height:auto;display:block}
@media print{
@page{margin:14mm}
body{--paper:#ffffff;font-size:10pt;max-width:none;padding:0}nav,.skip,.screen{display:none}.wide{overflow:visible}
h2,h3,h4,summary,caption{break-after:avoid}tr,figure,svg,img,li,dl.facts>div,.deferral,.whole{break-inside:avoid}
p{orphans:3;widows:3}a{color:inherit;text-decoration:none}
}
";

/// A whole page. `own` is the style of this kind of page alone; with `again` a browser that has it open
/// asks for it anew after so many seconds.
#[must_use]
pub fn page(title: &str, own: &str, again: Option<u32>, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content=(MAKER);
                @if let Some(seconds) = again { meta http-equiv="refresh" content=(seconds); }
                title { (title) }
                style { (PreEscaped(COLOURS)) (PreEscaped(STYLE)) (PreEscaped(own)) }
            }
            body {
                a.skip href="#main" { "To the content" }
                main id="main" { (body) }
            }
        }
    };
    page.into_string()
}

/// True for the bytes of a page that was made here.
#[must_use]
pub fn is_ours(bytes: &[u8]) -> bool {
    let head = String::from_utf8_lossy(bytes.get(..1024).unwrap_or(bytes));
    head.contains(&format!("name=\"generator\" content=\"{MAKER}\""))
}

/// What the cautions defer to.
#[must_use]
pub fn deferral() -> Markup {
    html! {
        div.deferral {
            @for line in legal().lines().filter(|line| !line.trim().is_empty()) { p { (line) } }
        }
    }
}

/// A table whose first column names its rows; wider than the page, it scrolls by itself.
#[must_use]
pub fn table(caption: &str, head: &[&str], rows: &[Vec<String>]) -> Markup {
    html! {
        div.wide role="region" aria-label=(caption) tabindex="0" {
            table {
                caption { (caption) }
                thead { tr { @for name in head { th scope="col" { (name) } } } }
                tbody {
                    @for row in rows {
                        tr {
                            @for (at, cell) in row.iter().enumerate() {
                                @if at == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
                            }
                        }
                    }
                }
            }
        }
    }
}
