//! HTML in the making: text is escaped on its way in, and never again.

use crate::escape::escape;
use crate::picture::Picture;

/// A piece of HTML.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Html(String);

impl Html {
    /// Text of any origin.
    pub fn text(text: &str) -> Html {
        Html(escape(text))
    }

    /// Text in an element without attributes.
    pub fn element(tag: &'static str, text: &str) -> Html {
        Html(format!("<{tag}>{}</{tag}>", escape(text)))
    }

    /// Pieces in an element of a class.
    pub fn within(tag: &'static str, class: &'static str, inner: Html) -> Html {
        Html(format!("<{tag} class=\"{class}\">{}</{tag}>", inner.0))
    }

    pub fn push(&mut self, piece: Html) {
        self.0.push_str(&piece.0);
    }

    pub fn paragraph(&mut self, text: &str) {
        self.push(Html::element("p", text));
    }

    pub fn subheading(&mut self, text: &str) {
        self.push(Html::element("h3", text));
    }

    /// A bullet list of texts; nothing for none.
    pub fn list<S: AsRef<str>>(&mut self, items: impl IntoIterator<Item = S>) {
        let items: String = items
            .into_iter()
            .map(|item| format!("<li>{}</li>", escape(item.as_ref())))
            .collect();
        if !items.is_empty() {
            self.0.push_str(&format!("<ul>{items}</ul>"));
        }
    }

    /// Pictures side by side as far as there is room.
    pub fn pictures<'a>(&mut self, pictures: impl IntoIterator<Item = &'a Picture>) {
        let each: String = pictures
            .into_iter()
            .map(|p| format!("<figure>{}</figure>", p.inline()))
            .collect();
        if !each.is_empty() {
            self.0
                .push_str(&format!("<div class=\"pictures\">{each}</div>"));
        }
    }
}

/// A table of so many rows at most stays on one page of paper.
const SHORT: usize = 14;

/// How a column is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Set {
    /// Words.
    Words,
    /// Numbers, to the right.
    Number,
}

/// A table: a caption for readers of the page and of the screen, heads, and rows of cells.
/// The first cell of a row names it.
#[derive(Clone, Debug)]
pub(crate) struct Table {
    caption: String,
    heads: Vec<(Html, Set)>,
    rows: Vec<(Vec<Html>, &'static str)>,
}

impl Table {
    pub fn new(caption: &str) -> Table {
        Table {
            caption: caption.to_owned(),
            heads: Vec::new(),
            rows: Vec::new(),
        }
    }

    pub fn words(mut self, head: &str) -> Table {
        self.heads.push((Html::text(head), Set::Words));
        self
    }

    pub fn number(mut self, head: &str) -> Table {
        self.heads.push((Html::text(head), Set::Number));
        self
    }

    pub fn row(&mut self, cells: Vec<Html>) {
        self.marked_row(cells, "");
    }

    /// A row of a class of its own.
    pub fn marked_row(&mut self, cells: Vec<Html>, class: &'static str) {
        debug_assert_eq!(cells.len(), self.heads.len(), "{}", self.caption);
        self.rows.push((cells, class));
    }

    /// The table, in a box that scrolls by itself where the page is narrow; nothing without rows.
    pub fn finish(self) -> Html {
        if self.rows.is_empty() {
            return Html::default();
        }
        let class = |set: Set| match set {
            Set::Words => "",
            Set::Number => " class=\"n\"",
        };
        let fits = if self.rows.len() <= SHORT {
            " short"
        } else {
            ""
        };
        let mut out = format!(
            "<div class=\"wide{fits}\" role=\"group\" tabindex=\"0\" aria-label=\"{0}\"><table>\
             <caption>{0}</caption><thead><tr>",
            escape(&self.caption)
        );
        for (head, set) in &self.heads {
            out.push_str(&format!("<th scope=\"col\"{}>{}</th>", class(*set), head.0));
        }
        out.push_str("</tr></thead><tbody>");
        for (cells, mark) in &self.rows {
            match *mark {
                "" => out.push_str("<tr>"),
                mark => out.push_str(&format!("<tr class=\"{mark}\">")),
            }
            for (k, (cell, (_, set))) in cells.iter().zip(&self.heads).enumerate() {
                out.push_str(&match k {
                    0 => format!("<th scope=\"row\"{}>{}</th>", class(*set), cell.0),
                    _ => format!("<td{}>{}</td>", class(*set), cell.0),
                });
            }
            out.push_str("</tr>");
        }
        out.push_str("</tbody></table></div>");
        Html(out)
    }
}

/// A page of sections with a table of contents.
#[derive(Clone, Debug)]
pub(crate) struct Page {
    title: String,
    lead: Html,
    sections: Vec<(String, Html)>,
}

impl Page {
    /// `lead` stands below the title, above the contents.
    pub fn new(title: &str, lead: Html) -> Page {
        Page {
            title: title.to_owned(),
            lead,
            sections: Vec::new(),
        }
    }

    /// Adds a section; one without content is left out.
    pub fn section(&mut self, heading: &str, content: Html) {
        if !content.0.is_empty() {
            self.sections.push((heading.to_owned(), content));
        }
    }

    /// The whole document.
    pub fn finish(self) -> String {
        let title = escape(&self.title);
        let contents: String = self
            .sections
            .iter()
            .enumerate()
            .map(|(k, (heading, _))| format!("<li><a href=\"#s{k}\">{}</a></li>", escape(heading)))
            .collect();
        let sections: String = self
            .sections
            .iter()
            .enumerate()
            .map(|(k, (heading, content))| {
                format!(
                    "<section id=\"s{k}\"><h2>{}</h2>{}</section>\n",
                    escape(heading),
                    content.0
                )
            })
            .collect();
        format!(
            "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"/>\
             <meta http-equiv=\"Content-Security-Policy\" content=\"{}\"/>\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\
             <meta name=\"color-scheme\" content=\"light dark\"/>\
             <title>{title}</title><style>{}</style></head>\n<body><header><h1>{title}</h1>{}\
             </header>\n<nav aria-label=\"Contents\"><ol>{contents}</ol></nav>\n\
             <main>{sections}</main></body></html>\n",
            super::style::file_policy(),
            super::style::sheet(),
            self.lead.0,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_escaped_once_and_empty_sections_are_left_out() {
        let mut page = Page::new("a <b> & c", Html::element("p", "x < y"));
        page.section("none", Html::default());
        page.section("\"some\"", Html::text("1 > 0"));
        let out = page.finish();
        assert!(out.contains("<h1>a &lt;b&gt; &amp; c</h1><p>x &lt; y</p>"));
        assert!(out.contains("<h2>&quot;some&quot;</h2>1 &gt; 0"));
        assert!(!out.contains("none</h2>"));
    }

    #[test]
    fn a_table_without_rows_is_nothing() {
        let table = Table::new("empty").words("a");
        assert_eq!(table.finish(), Html::default());
    }
}
