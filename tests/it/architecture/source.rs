//! The program's source as modules: which file uses which other, by its parsed syntax.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use proc_macro2::{TokenStream, TokenTree};
use syn::visit::{self, Visit};
use syn::{Attribute, Item, UseTree, Visibility};

/// A module path from the crate's root, as `["ui", "view", "card"]`.
pub(super) type ModulePath = Vec<String>;

/// One module file.
#[derive(Debug)]
pub(super) struct Module {
    /// As `src/ui/view/card.rs`.
    pub(super) file: String,
    /// Its text, for what is easier read than parsed.
    pub(super) text: String,
    /// Every path that its code names, tests left out; relative ones are made absolute.
    pub(super) paths: BTreeSet<ModulePath>,
    /// Names of external macros and paths, as written: `std::fs::read`, `println`.
    pub(super) foreign: BTreeSet<String>,
    /// What it hands on from elsewhere: name -> where it comes from.
    hands_on: BTreeMap<String, ModulePath>,
    /// Modules whose every public name it hands on.
    hands_on_all: Vec<ModulePath>,
    /// Names that it defines itself.
    defines: BTreeSet<String>,
}

/// The crate.
#[derive(Debug)]
pub(super) struct Source {
    pub(super) modules: BTreeMap<ModulePath, Module>,
}

impl Source {
    /// Reads the crate from `src/lib.rs` on; modules for tests alone are left out.
    pub(super) fn read(root: &Path) -> Self {
        let mut modules = BTreeMap::new();
        read_module(root, "src/lib.rs", "src", &[], &mut modules);
        Self { modules }
    }

    /// Files that a file uses, other than itself, through whatever hands their names on.
    pub(super) fn uses(&self, of: &ModulePath) -> BTreeSet<ModulePath> {
        let Some(module) = self.modules.get(of) else {
            return BTreeSet::new();
        };
        module
            .paths
            .iter()
            .filter_map(|path| self.owner(path, 0))
            .filter(|owner| owner != of)
            .collect()
    }

    /// The module whose file defines what a path names.
    fn owner(&self, path: &[String], depth: usize) -> Option<ModulePath> {
        let known = (0..=path.len())
            .rev()
            .find(|length| self.modules.contains_key(&path[..*length]))?;
        let at = path[..known].to_vec();
        let Some(name) = path.get(known) else {
            return Some(at);
        };
        let module = self.modules.get(&at)?;
        if depth > 12 || module.defines.contains(name) {
            return Some(at);
        }
        if let Some(from) = module.hands_on.get(name) {
            let mut longer = from.clone();
            longer.extend_from_slice(&path[known + 1..]);
            return self.owner(&longer, depth + 1);
        }
        for from in &module.hands_on_all {
            let mut longer = from.clone();
            longer.extend_from_slice(&path[known..]);
            if let Some(owner) = self.owner(&longer, depth + 1)
                && self
                    .modules
                    .get(&owner)
                    .is_some_and(|m| m.defines.contains(name))
            {
                return Some(owner);
            }
        }
        Some(at)
    }

    /// Groups of files that use each other in a ring, within one top-level folder. That a module
    /// uses its own submodules is no part of a ring: what it defines, they share.
    pub(super) fn rings(&self, floor: &str) -> Vec<Vec<String>> {
        let inside: Vec<&ModulePath> = self
            .modules
            .keys()
            .filter(|path| path.first().is_some_and(|first| first == floor))
            .collect();
        let edges: BTreeMap<&ModulePath, BTreeSet<ModulePath>> = inside
            .iter()
            .map(|path| {
                let uses = self.uses(path);
                let others = uses.into_iter().filter(|used| !used.starts_with(path));
                (*path, others.collect())
            })
            .collect();
        let reach: BTreeMap<&ModulePath, BTreeSet<ModulePath>> = inside
            .iter()
            .map(|path| (*path, reachable(path, &edges)))
            .collect();
        let mut rings = BTreeSet::new();
        for path in &inside {
            let ring: Vec<&ModulePath> = inside
                .iter()
                .filter(|other| reach[*path].contains(**other) && reach[**other].contains(*path))
                .copied()
                .collect();
            if ring.len() > 1 {
                let uses = ring.iter().flat_map(|from| {
                    let inner = edges[*from].iter().filter(|to| ring.contains(to));
                    inner.map(|to| format!("{} uses {}", from.join("::"), to.join("::")))
                });
                rings.insert(uses.collect());
            }
        }
        rings.into_iter().collect()
    }
}

fn reachable(
    from: &ModulePath,
    edges: &BTreeMap<&ModulePath, BTreeSet<ModulePath>>,
) -> BTreeSet<ModulePath> {
    let mut seen = BTreeSet::new();
    let mut open: Vec<&ModulePath> = edges[from].iter().collect();
    while let Some(next) = open.pop() {
        if seen.insert(next.clone()) {
            open.extend(edges.get(next).into_iter().flatten());
        }
    }
    seen
}

fn read_module(
    root: &Path,
    file: &str,
    folder: &str,
    path: &[String],
    out: &mut BTreeMap<ModulePath, Module>,
) {
    let text = std::fs::read_to_string(root.join(file)).unwrap();
    let parsed = syn::parse_file(&text).unwrap_or_else(|why| panic!("{file}: {why}"));
    let mut children = Vec::new();
    let mut reader = Reader {
        here: path.to_vec(),
        module: Module {
            file: file.to_owned(),
            text,
            paths: BTreeSet::new(),
            foreign: BTreeSet::new(),
            hands_on: BTreeMap::new(),
            hands_on_all: Vec::new(),
            defines: BTreeSet::new(),
        },
        children: BTreeSet::new(),
        inline: 0,
    };
    for item in &parsed.items {
        if let Item::Mod(module) = item
            && !for_tests(&module.attrs)
        {
            reader.children.insert(module.ident.to_string());
            if module.content.is_none() {
                children.push(module.ident.to_string());
            }
        }
    }
    for item in &parsed.items {
        reader.visit_item(item);
    }
    out.insert(path.to_vec(), reader.module);
    for child in children {
        let flat = format!("{folder}/{child}.rs");
        let (file, folder) = if root.join(&flat).is_file() {
            (flat, format!("{folder}/{child}"))
        } else {
            (
                format!("{folder}/{child}/mod.rs"),
                format!("{folder}/{child}"),
            )
        };
        let mut path = path.to_vec();
        path.push(child);
        read_module(root, &file, &folder, &path, out);
    }
}

/// True for `#[cfg(test)]` and what contains it.
fn for_tests(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        attribute.path().is_ident("test")
            || attribute.path().is_ident("cfg")
                && attribute
                    .meta
                    .require_list()
                    .is_ok_and(|list| list.tokens.to_string().contains("test"))
    })
}

struct Reader {
    here: ModulePath,
    module: Module,
    children: BTreeSet<String>,
    /// Depth of modules written inside the file.
    inline: usize,
}

impl Reader {
    /// Makes a path absolute; none for what is not of this crate.
    fn absolute(&self, segments: &[String]) -> Option<ModulePath> {
        let mut rest = segments;
        let mut base = match rest.first()?.as_str() {
            "crate" => {
                rest = &rest[1..];
                Vec::new()
            }
            "self" => {
                rest = &rest[1..];
                self.here.clone()
            }
            "super" => {
                let mut base = self.here.clone();
                let mut inline = self.inline;
                while rest.first().is_some_and(|one| one == "super") {
                    if inline > 0 {
                        inline -= 1;
                    } else {
                        base.pop();
                    }
                    rest = &rest[1..];
                }
                base
            }
            child if self.children.contains(child) => self.here.clone(),
            _ => return None,
        };
        base.extend_from_slice(rest);
        Some(base)
    }

    fn note(&mut self, segments: &[String]) {
        match self.absolute(segments) {
            Some(path) => {
                self.module.paths.insert(path);
            }
            None => {
                self.module.foreign.insert(segments.join("::"));
            }
        }
    }

    fn note_use(&mut self, tree: &UseTree, before: &mut Vec<String>, handed_on: bool) {
        match tree {
            UseTree::Path(path) => {
                before.push(path.ident.to_string());
                self.note_use(&path.tree, before, handed_on);
                before.pop();
            }
            UseTree::Group(group) => {
                for tree in &group.items {
                    self.note_use(tree, before, handed_on);
                }
            }
            UseTree::Glob(_) => {
                if let (true, Some(path)) = (handed_on, self.absolute(before)) {
                    self.module.hands_on_all.push(path);
                } else {
                    self.note(before);
                }
            }
            UseTree::Name(name) => self.note_name(&name.ident, &name.ident, before, handed_on),
            UseTree::Rename(name) => self.note_name(&name.ident, &name.rename, before, handed_on),
        }
    }

    fn note_name(
        &mut self,
        name: &syn::Ident,
        known_as: &syn::Ident,
        before: &[String],
        handed_on: bool,
    ) {
        let mut full = before.to_vec();
        if name != "self" {
            full.push(name.to_string());
        }
        match self.absolute(&full) {
            Some(path) => {
                // A private import of a parent hands its name to the children as well.
                self.module
                    .hands_on
                    .insert(known_as.to_string(), path.clone());
                if !handed_on {
                    self.module.paths.insert(path);
                }
            }
            None => {
                self.module.foreign.insert(full.join("::"));
            }
        }
    }

    /// Paths in the tokens of a macro, which `syn` leaves unparsed.
    fn note_tokens(&mut self, tokens: TokenStream) {
        let mut run: Vec<String> = Vec::new();
        let mut colons = 0;
        for token in tokens {
            match token {
                TokenTree::Ident(ident) => {
                    if colons != 2 && !run.is_empty() {
                        let path = std::mem::take(&mut run);
                        self.note(&path);
                    }
                    run.push(ident.to_string());
                    colons = 0;
                }
                TokenTree::Punct(punct) if punct.as_char() == ':' => colons += 1,
                TokenTree::Group(group) => {
                    self.note_tokens(group.stream());
                    colons = 0;
                }
                _ => colons = 9,
            }
        }
        if !run.is_empty() {
            self.note(&run);
        }
    }
}

fn name_of(item: &Item) -> Option<String> {
    Some(match item {
        Item::Const(item) => item.ident.to_string(),
        Item::Enum(item) => item.ident.to_string(),
        Item::Fn(item) => item.sig.ident.to_string(),
        Item::Static(item) => item.ident.to_string(),
        Item::Struct(item) => item.ident.to_string(),
        Item::Trait(item) => item.ident.to_string(),
        Item::Type(item) => item.ident.to_string(),
        _ => return None,
    })
}

fn attributes(item: &Item) -> &[Attribute] {
    match item {
        Item::Const(item) => &item.attrs,
        Item::Enum(item) => &item.attrs,
        Item::Fn(item) => &item.attrs,
        Item::Impl(item) => &item.attrs,
        Item::Macro(item) => &item.attrs,
        Item::Mod(item) => &item.attrs,
        Item::Static(item) => &item.attrs,
        Item::Struct(item) => &item.attrs,
        Item::Trait(item) => &item.attrs,
        Item::Type(item) => &item.attrs,
        Item::Use(item) => &item.attrs,
        _ => &[],
    }
}

impl<'ast> Visit<'ast> for Reader {
    fn visit_item(&mut self, item: &'ast Item) {
        if for_tests(attributes(item)) {
            return;
        }
        if self.inline == 0
            && let Some(name) = name_of(item)
        {
            self.module.defines.insert(name);
        }
        visit::visit_item(self, item);
    }

    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        if item.content.is_some() {
            self.inline += 1;
            visit::visit_item_mod(self, item);
            self.inline -= 1;
        }
    }

    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        let handed_on = !matches!(item.vis, Visibility::Inherited);
        self.note_use(&item.tree, &mut Vec::new(), handed_on);
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        if !for_tests(&item.attrs) {
            visit::visit_impl_item_fn(self, item);
        }
    }

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let segments: Vec<String> = path
            .segments
            .iter()
            .map(|segment| segment.ident.to_string())
            .collect();
        self.note(&segments);
        visit::visit_path(self, path);
    }

    fn visit_macro(&mut self, item: &'ast syn::Macro) {
        self.visit_path(&item.path);
        self.note_tokens(item.tokens.clone());
    }
}
