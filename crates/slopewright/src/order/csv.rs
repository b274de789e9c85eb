//! Comma-separated text, as RFC 4180 has it: cells may be quoted, and a quoted cell may hold commas, line breaks and
//! doubled quotes.

/// The records that are not empty, each with the number of its first line.
pub(super) fn records(text: &str) -> Vec<(usize, Vec<String>)> {
    let mut all = Vec::new();
    let mut record: Vec<String> = Vec::new();
    let mut cell = String::new();
    let mut quoted = false;
    let (mut line, mut first_line) = (1, 1);
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        match sign {
            '"' if quoted && signs.peek() == Some(&'"') => {
                signs.next();
                cell.push('"');
            }
            '"' if quoted => quoted = false,
            '"' if cell.trim().is_empty() => {
                cell.clear();
                quoted = true;
            }
            ',' if !quoted => record.push(core::mem::take(&mut cell)),
            '\r' if !quoted && signs.peek() == Some(&'\n') => {}
            '\n' if !quoted => {
                record.push(core::mem::take(&mut cell));
                keep(&mut all, first_line, core::mem::take(&mut record));
                line += 1;
                first_line = line;
            }
            other => {
                line += usize::from(other == '\n');
                cell.push(other);
            }
        }
    }
    record.push(cell);
    keep(&mut all, first_line, record);
    all
}

fn keep(all: &mut Vec<(usize, Vec<String>)>, line: usize, record: Vec<String>) {
    if record.iter().any(|cell| !cell.trim().is_empty()) {
        all.push((line, record));
    }
}

#[cfg(test)]
mod tests {
    use super::records;

    #[test]
    fn quotes_commas_and_line_breaks() {
        // Published: RFC 4180, section 2, rules 5 to 7.
        let text = "a,\"b, c\",\"d \"\"e\"\"\"\r\n\n\"f\ng\",,h\nlast";
        let read = records(text);
        let cells: Vec<(usize, Vec<&str>)> =
            read.iter().map(|(line, cells)| (*line, cells.iter().map(String::as_str).collect())).collect();
        assert_eq!(cells, [(1, vec!["a", "b, c", "d \"e\""]), (3, vec!["f\ng", "", "h"]), (5, vec!["last"])]);
    }
}
