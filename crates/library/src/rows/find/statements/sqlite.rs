//! Statements of the index as SQLite takes them.

use crate::LibraryError;
use crate::rows::find::asked::Begun;

pub(in crate::rows) use super::alike::*;

/// Nothing is waited for: there is one writer.
pub(in crate::rows) const TAKE_TURN: Option<&str> = None;

/// What is left of the dossiers after words: in use, verdicts ($4 to $11), markings ($12), figures ($13) and what one
/// part is to be ($14); the one indexed last first, those before $2, at most $3.
macro_rules! rest {
    ($from:literal, $seq:literal) => {
        concat!(
            "select d.seq, d.dossier, x.revision, b.body, b.sha256 as sha256 ",
            $from,
            " and not x.withdrawn and d.seq < $2 \
             and d.holds between $4 and $5 and d.fails between $6 and $7 \
             and d.undecided between $8 and $9 and d.needs_evidence between $10 and $11 \
             and ($12 is null or d.seq in (select value from json_each($12))) \
             and ($13 is null or not exists (select 1 from json_each($13) c where not exists \
                 (select 1 from find_figure f where f.seq = d.seq and f.kind = c.value ->> 0 \
                  and f.high >= c.value ->> 1 and f.low <= c.value ->> 2))) \
             and ($14 is null or d.seq in (select g.seq from find_sort_words \
                 join find_sighting g on g.sort = find_sort_words.rowid \
                 where find_sort_words match $14)) \
             order by ",
            $seq,
            " desc limit $3"
        )
    };
}

pub(in crate::rows) const BY_WORDS: &str = rest!(
    "from find_words cross join find_dossier d on d.seq = find_words.rowid \
     cross join dossier x on x.id = d.dossier cross join find_body b on b.seq = d.seq \
     where find_words match $1",
    "find_words.rowid"
);
pub(in crate::rows) const BY_TURN: &str = rest!(
    "from find_dossier d cross join dossier x on x.id = d.dossier \
     cross join find_body b on b.seq = d.seq where $1 is null",
    "d.seq"
);
pub(in crate::rows) const HOLDING_PART: &str = "select d.seq, d.dossier, x.revision, b.body, b.sha256 \
     from find_dossier d cross join dossier x on x.id = d.dossier cross join find_body b on b.seq = d.seq \
     where not x.withdrawn and d.seq < $2 and d.seq in (select g.seq from find_sort s \
     join find_sighting g on g.sort = s.id where s.part = $1) order by d.seq desc limit $3";
pub(in crate::rows) const HOLDING_MAKER: &str = "select d.seq, d.dossier, x.revision, b.body, b.sha256 \
     from find_dossier d cross join dossier x on x.id = d.dossier cross join find_body b on b.seq = d.seq \
     where not x.withdrawn and d.seq < $2 and d.seq in (select g.seq from find_sort s \
     join find_sighting g on g.sort = s.id where s.maker = $1 and s.role <> 'product:') \
     order by d.seq desc limit $3";

/// Heads of markings that begin with one of these characters, in one text.
pub(in crate::rows) const HEADS: &str = "select group_concat(h.head, char(10)) from json_each($1) c \
     cross join find_head h where h.head >= c.value and h.head < c.value || char(1114111)";
pub(in crate::rows) const ALL_HEADS: &str = "select group_concat(head, char(10)) from find_head";
/// Numbers and texts of the lines under these heads, in one text.
pub(in crate::rows) const LINES: &str = "select group_concat(l.id || ' ' || l.line, char(10)) from json_each($1) h \
     cross join find_line l on l.head = h.value";
pub(in crate::rows) const SEQS_OF_LINES: &str = "select json_group_array(seq) from (select distinct m.seq \
     from json_each($1) v cross join find_marking m on m.line = v.value)";
pub(in crate::rows) const NAMED: &str = "select d.dossier from find_dossier d where d.seq in \
     (select r.seq from json_each($1) v join find_name n on n.name = v.value join find_rest r on r.name = n.id)";
pub(in crate::rows) const DOSSIERS_OF: &str =
    "select dossier from find_dossier where seq in (select value from json_each($1))";

pub(in crate::rows) const NEW_WORDS: &str = "insert into find_words \
     (rowid, product, category, part, maker, role, rest) values ($1, $2, $3, $4, $5, $6, $7)";
pub(in crate::rows) const NEW_SORTS: &str = "insert into find_sort (part, maker, role) \
     select value ->> 0, value ->> 1, value ->> 2 from json_each($1) where true \
     on conflict do nothing returning id, part, maker, role";
pub(in crate::rows) const NEW_SORT_WORDS: &str =
    "insert into find_sort_words (rowid, part, maker, role) values ($1, $2, $3, $4)";
pub(in crate::rows) const NEW_SIGHTINGS: &str = "insert into find_sighting (sort, seq) select s.id, $1 \
     from json_each($2) v join find_sort s on s.part = v.value ->> 0 and s.maker = v.value ->> 1 \
     and s.role = v.value ->> 2";
pub(in crate::rows) const NEW_HEADS: &str =
    "insert or ignore into find_head (head) select value ->> 0 from json_each($1)";
pub(in crate::rows) const NEW_LINES: &str = "insert or ignore into find_line (head, line) \
     select value ->> 0, value ->> 1 from json_each($1)";
pub(in crate::rows) const NEW_MARKINGS: &str = "insert into find_marking (line, seq) select l.id, $1 \
     from json_each($2) v cross join find_line l on l.head = v.value ->> 0 and l.line = v.value ->> 1";
pub(in crate::rows) const NEW_FIGURES: &str = "insert into find_figure (kind, low, high, seq) \
     select value ->> 0, value ->> 1, value ->> 2, $1 from json_each($2)";
pub(in crate::rows) const NEW_NAMES: &str =
    "insert or ignore into find_name (name) select value from json_each($1)";
pub(in crate::rows) const NEW_RESTS: &str = "insert into find_rest (name, seq) select n.id, $1 \
     from json_each($2) v join find_name n on n.name = v.value";

/// What undoes the statements above for a dossier's turn, in this order; `$2` as given to them.
pub(in crate::rows) const OLD_SIGHTINGS: &str = "delete from find_sighting where (sort, seq) in (select s.id, $1 \
     from json_each($2) v join find_sort s on s.part = v.value ->> 0 and s.maker = v.value ->> 1 \
     and s.role = v.value ->> 2)";
pub(in crate::rows) const OLD_MARKINGS: &str = "delete from find_marking where (line, seq) in (select l.id, $1 \
     from json_each($2) v cross join find_line l on l.head = v.value ->> 0 and l.line = v.value ->> 1)";
pub(in crate::rows) const OLD_FIGURES: &str = "delete from find_figure where (kind, low, high, seq) in \
     (select value ->> 0, value ->> 1, value ->> 2, $1 from json_each($2))";
pub(in crate::rows) const OLD_RESTS: &str = "delete from find_rest where (name, seq) in (select n.id, $1 \
     from json_each($2) v join find_name n on n.name = v.value)";
pub(in crate::rows) const OLD_WORDS: &str = "delete from find_words where rowid = $1";

/// All of these words, as FTS5 takes them. Folded words are letters and digits, so none of them ends the quotes.
pub(in crate::rows) fn words(all: &[Begun<'_>]) -> Result<Option<String>, LibraryError> {
    let each = all.iter().map(|begun| {
        let column = begun.column.map(|column| format!("{column} : "));
        let end = if begun.whole { "" } else { " *" };
        format!("{}\"{}\"{end}", column.unwrap_or_default(), begun.word)
    });
    let each: Vec<String> = each.collect();
    Ok((!each.is_empty()).then(|| each.join(" AND ")))
}

/// Products with what they are compared by; `$from` names `find_product` as p.
macro_rules! peers {
    ($from:literal, $order:literal) => {
        concat!(
            "select d.dossier, p.body, p.sha256, exists (select 1 from publication u \
             where u.dossier = d.dossier) as published ",
            $from,
            " and not x.withdrawn order by ",
            $order
        )
    };
}

pub(in crate::rows) const PEERS_OF_CLASS: &str = peers!(
    "from find_product p cross join find_dossier d on d.seq = p.seq cross join dossier x on x.id = d.dossier \
     where p.class = $1 and p.class <> ''",
    "p.seq desc limit $2"
);
pub(in crate::rows) const PEERS_WITH: &str = peers!(
    "from find_product p cross join find_dossier d on d.seq = p.seq cross join dossier x on x.id = d.dossier \
     where p.seq in (select q.seq from find_product q indexed by find_product_day \
     where q.seq in (select g.seq from json_each($1) v cross join find_sort s on s.part = v.value \
     cross join find_sighting g on g.sort = s.id) and q.seq not in (select w.seq from dossier y \
     cross join find_dossier w on w.dossier = y.id where y.withdrawn = 1) \
     order by coalesce(q.day, 9223372036854775807), q.seq desc limit $2)",
    "coalesce(p.day, 9223372036854775807), p.seq desc"
);
pub(in crate::rows) const PEERS_BY: &str = peers!(
    "from find_product p cross join find_dossier d on d.seq = p.seq cross join dossier x on x.id = d.dossier \
     where $1 <> '' and p.seq in (select g.seq from find_sort s cross join find_sighting g on g.sort = s.id \
     where s.maker = $1 and s.role = 'product:')",
    "p.seq desc limit $2"
);
pub(in crate::rows) const PEERS: &str = peers!(
    "from find_product p cross join find_dossier d on d.seq = p.seq cross join dossier x on x.id = d.dossier \
     where true",
    "p.seq desc limit $1"
);
/// Those withdrawn are few, so they are taken off what each sort counts; they are gone through, and not the many that
/// hold a sort.
pub(in crate::rows) const SUPPLIED: &str = "select n.shown, coalesce(r.shown, '') as role, s.products - \
     (select count(*) from dossier x cross join find_dossier d on d.dossier = x.id \
      cross join find_sighting g on g.sort = s.id and g.seq = d.seq where x.withdrawn = 1) as products \
     from find_sort s cross join find_shown n on n.folded = s.part left join find_shown r on r.folded = s.role \
     where s.maker = $1 and s.part <> '' and s.products > 0 order by s.products desc, s.part, s.role limit $2";
pub(in crate::rows) const PARTS_BEGUN: &str = "select n.shown from (select distinct part from find_sort \
     where part >= $1 and part < $2 and products > 0 order by part limit $3) s cross join find_shown n on n.folded = s.part \
     order by s.part";
pub(in crate::rows) const MAKERS_BEGUN: &str = "select n.shown from (select distinct maker from find_sort \
     where maker >= $1 and maker < $2 and products > 0 order by maker limit $3) s cross join find_shown n on n.folded = s.maker \
     order by s.maker";
pub(in crate::rows) const OVER: &str = "select d.dossier, x.name, t.day, t.value, t.uncertainty from find_trait t \
     cross join find_dossier d on d.seq = t.seq cross join dossier x on x.id = d.dossier \
     where t.kind = $1 and not x.withdrawn order by t.day desc, t.seq desc limit $2";
pub(in crate::rows) const OVER_CLASS: &str = "select d.dossier, x.name, t.day, t.value, t.uncertainty \
     from find_trait t indexed by find_trait_class cross join find_dossier d on d.seq = t.seq cross join dossier x on x.id = d.dossier \
     where t.kind = $1 and t.class = $2 and not x.withdrawn order by t.day desc, t.seq desc limit $3";
pub(in crate::rows) const CLASSES: &str = "select n.shown, c.n from (select class, count(*) as n from find_product \
     where class <> '' group by class order by n desc, class limit $1) c join find_shown n on n.folded = c.class \
     order by c.n desc, c.class";
pub(in crate::rows) const NEW_SHOWN: &str = "insert or ignore into find_shown (folded, shown) \
     select value ->> 0, value ->> 1 from json_each($1)";
pub(in crate::rows) const NEW_TRAITS: &str = "insert into find_trait (kind, day, class, value, uncertainty, seq) \
     select value ->> 0, value ->> 1, value ->> 2, value ->> 3, value ->> 4, $1 from json_each($2)";
