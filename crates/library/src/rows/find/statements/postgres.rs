//! Statements of the index as PostgreSQL takes them. Lists come as JSON, as they do in SQLite.

use crate::LibraryError;
use crate::rows::find::asked::Begun;
use crate::rows::kept::json;

pub(in crate::rows) use super::alike::*;

/// Takes the dossier's row, so that no save of it comes between, and the right to index: one at a time does.
pub(in crate::rows) const TAKE_TURN: Option<&str> = Some(
    "select pg_advisory_xact_lock(hashtext('find_dossier')) from \
     (select 1 from dossier where id = $1 for no key update) held",
);

/// What is left of the dossiers after words, as in SQLite.
macro_rules! rest {
    ($words:literal) => {
        concat!(
            "select d.seq, d.dossier, x.revision, b.body, b.sha256 from find_dossier d \
             join dossier x on x.id = d.dossier join find_body b on b.seq = d.seq where ",
            $words,
            " and not x.withdrawn and d.seq < $2 \
             and d.holds between $4 and $5 and d.fails between $6 and $7 \
             and d.undecided between $8 and $9 and d.needs_evidence between $10 and $11 \
             and ($12 is null or d.seq in \
                 (select value::bigint from json_array_elements_text($12::json))) \
             and ($13 is null or not exists (select 1 from json_array_elements($13::json) c where not exists \
                 (select 1 from find_figure f where f.seq = d.seq and f.kind = c.value ->> 0 \
                  and f.high >= (c.value ->> 1)::bigint and f.low <= (c.value ->> 2)::bigint))) \
             and ($14 is null or d.seq in (select g.seq from find_sighting g where g.sort in \
                 (select w.sort from json_array_elements($14::json) with ordinality c(value, n) \
                  join find_sort_word w on w.word >= c.value ->> 1 and w.word < c.value ->> 2 \
                  and w.place = c.value ->> 0 group by w.sort \
                  having count(distinct c.n) = json_array_length($14::json)))) \
             order by d.seq desc limit $3"
        )
    };
}

pub(in crate::rows) const BY_WORDS: &str = rest!(
    "d.seq in (select w.seq from json_array_elements($1::json) with ordinality c(value, n) \
     join find_word w on w.word >= c.value ->> 1 and w.word < c.value ->> 2 \
     and (c.value ->> 0 is null or w.place = c.value ->> 0) \
     group by w.seq having count(distinct c.n) = json_array_length($1::json))"
);
pub(in crate::rows) const BY_TURN: &str = rest!("$1 is null");
pub(in crate::rows) const HOLDING_PART: &str = "select d.seq, d.dossier, x.revision, b.body, b.sha256 \
     from find_dossier d join dossier x on x.id = d.dossier join find_body b on b.seq = d.seq \
     where not x.withdrawn and d.seq < $2 and d.seq in (select g.seq from find_sort s \
     join find_sighting g on g.sort = s.id where md5(s.part) = md5($1) and s.part = $1) \
     order by d.seq desc limit $3";
pub(in crate::rows) const HOLDING_MAKER: &str = "select d.seq, d.dossier, x.revision, b.body, b.sha256 \
     from find_dossier d join dossier x on x.id = d.dossier join find_body b on b.seq = d.seq \
     where not x.withdrawn and d.seq < $2 and d.seq in (select g.seq from find_sort s \
     join find_sighting g on g.sort = s.id where md5(s.maker) = md5($1) and s.maker = $1 \
     and s.role <> 'product:') order by d.seq desc limit $3";

pub(in crate::rows) const HEADS: &str = "select string_agg(h.head, chr(10)) \
     from json_array_elements_text($1::json) c \
     join find_head h on h.head >= c.value and h.head < c.value || chr(1114111)";
pub(in crate::rows) const ALL_HEADS: &str = "select string_agg(head, chr(10)) from find_head";
pub(in crate::rows) const LINES: &str = "select string_agg(l.id || ' ' || l.line, chr(10)) \
     from json_array_elements_text($1::json) h join find_line l on l.head = h.value";
pub(in crate::rows) const SEQS_OF_LINES: &str = "select coalesce(json_agg(seq), '[]')::text from (select distinct m.seq \
     from json_array_elements_text($1::json) v join find_marking m on m.line = v.value::bigint) s";
pub(in crate::rows) const NAMED: &str = "select d.dossier from find_dossier d where d.seq in \
     (select r.seq from json_array_elements_text($1::json) v \
      join find_name n on md5(n.name) = md5(v.value) join find_rest r on r.name = n.id)";
pub(in crate::rows) const DOSSIERS_OF: &str = "select dossier from find_dossier where seq in \
     (select value::bigint from json_array_elements_text($1::json))";

/// The words of each column as rows of their own.
pub(in crate::rows) const NEW_WORDS: &str = "insert into find_word (seq, place, word) \
     select distinct $1::bigint, c.place, left(w.word, 200) from (values ('product', $2), ('category', $3), \
     ('part', $4), ('maker', $5), ('role', $6), ('rest', $7)) c(place, words) \
     cross join string_to_table(c.words, ' ') w(word) where w.word <> ''";
pub(in crate::rows) const NEW_SORTS: &str = "insert into find_sort (part, maker, role) \
     select value ->> 0, value ->> 1, value ->> 2 from json_array_elements($1::json) \
     on conflict do nothing returning id, part, maker, role";
pub(in crate::rows) const NEW_SORT_WORDS: &str = "insert into find_sort_word (sort, place, word) \
     select distinct $1::bigint, c.place, left(w.word, 200) from (values ('part', $2), ('maker', $3), \
     ('role', $4)) c(place, words) cross join string_to_table(c.words, ' ') w(word) where w.word <> ''";
/// Each is looked up by itself here and below: joined, a list would be held against a whole table that grows with the
/// library.
pub(in crate::rows) const NEW_SIGHTINGS: &str = "insert into find_sighting (sort, seq) select \
     (select s.id from find_sort s where md5(s.part) = md5(v.value ->> 0) \
      and md5(s.maker) = md5(v.value ->> 1) and md5(s.role) = md5(v.value ->> 2)), $1 \
     from json_array_elements($2::json) v";
pub(in crate::rows) const NEW_HEADS: &str = "insert into find_head (head) \
     select distinct value ->> 0 from json_array_elements($1::json) on conflict do nothing";
pub(in crate::rows) const NEW_LINES: &str = "insert into find_line (head, line) \
     select value ->> 0, value ->> 1 from json_array_elements($1::json) on conflict do nothing";
pub(in crate::rows) const NEW_MARKINGS: &str = "insert into find_marking (line, seq) select \
     (select l.id from find_line l where l.head = v.value ->> 0 and md5(l.line) = md5(v.value ->> 1)), $1 \
     from json_array_elements($2::json) v";
pub(in crate::rows) const NEW_FIGURES: &str = "insert into find_figure (kind, low, high, seq) \
     select value ->> 0, (value ->> 1)::bigint, (value ->> 2)::bigint, $1 from json_array_elements($2::json)";
pub(in crate::rows) const NEW_NAMES: &str = "insert into find_name (name) \
     select value from json_array_elements_text($1::json) on conflict do nothing";
pub(in crate::rows) const NEW_RESTS: &str = "insert into find_rest (name, seq) select \
     (select n.id from find_name n where md5(n.name) = md5(v.value)), $1 \
     from json_array_elements_text($2::json) v";

/// What undoes the statements above for a dossier's turn, in this order.
pub(in crate::rows) const OLD_SIGHTINGS: &str = "delete from find_sighting where seq = $1";
pub(in crate::rows) const OLD_MARKINGS: &str = "delete from find_marking where seq = $1";
pub(in crate::rows) const OLD_FIGURES: &str = "delete from find_figure where seq = $1";
pub(in crate::rows) const OLD_RESTS: &str = "delete from find_rest where seq = $1";
pub(in crate::rows) const OLD_WORDS: &str = "delete from find_word where seq = $1";

/// Characters of a word that are kept; the plain functions look at those behind them.
const KEPT: usize = 200;

/// All of these words as a list: where, and between which texts in the order of their bytes a word lies that is one.
pub(in crate::rows) fn words(all: &[Begun<'_>]) -> Result<Option<String>, LibraryError> {
    let each = all.iter().map(|begun| {
        let low: String = begun.word.chars().take(KEPT).collect();
        let last = if begun.whole { '\u{1}' } else { char::MAX };
        let high = format!("{low}{last}");
        (begun.column, low, high)
    });
    let each: Vec<_> = each.collect();
    (!each.is_empty()).then(|| json(&each)).transpose()
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
    "from find_product p join find_dossier d on d.seq = p.seq join dossier x on x.id = d.dossier \
     where md5(p.class) = md5($1) and p.class = $1 and p.class <> ''",
    "p.seq desc limit $2"
);
pub(in crate::rows) const PEERS_WITH: &str = peers!(
    "from find_product p join find_dossier d on d.seq = p.seq join dossier x on x.id = d.dossier \
     where p.seq in (select q.seq from find_product q where q.seq in \
     (select g.seq from json_array_elements_text($1::json) v \
     join find_sort s on md5(s.part) = md5(v.value) join find_sighting g on g.sort = s.id) \
     and q.seq not in (select w.seq from dossier y join find_dossier w on w.dossier = y.id where y.withdrawn) \
     order by coalesce(q.day, 9223372036854775807), q.seq desc limit $2)",
    "coalesce(p.day, 9223372036854775807), p.seq desc"
);
pub(in crate::rows) const PEERS_BY: &str = peers!(
    "from find_product p join find_dossier d on d.seq = p.seq join dossier x on x.id = d.dossier \
     where $1 <> '' and p.seq in (select g.seq from find_sort s join find_sighting g on g.sort = s.id \
     where md5(s.maker) = md5($1) and s.role = 'product:')",
    "p.seq desc limit $2"
);
pub(in crate::rows) const PEERS: &str = peers!(
    "from find_product p join find_dossier d on d.seq = p.seq join dossier x on x.id = d.dossier where true",
    "p.seq desc limit $1"
);
pub(in crate::rows) const SUPPLIED: &str = "select n.shown, coalesce(r.shown, '') as role, s.products - \
     (select count(*) from dossier x join find_dossier d on d.dossier = x.id \
      join find_sighting g on g.sort = s.id and g.seq = d.seq where x.withdrawn) as products \
     from find_sort s join find_shown n on md5(n.folded) = md5(s.part) \
     left join find_shown r on md5(r.folded) = md5(s.role) \
     where md5(s.maker) = md5($1) and s.part <> '' and s.products > 0 \
     order by s.products desc, s.part, s.role limit $2";
pub(in crate::rows) const PARTS_BEGUN: &str = "select n.shown from (select distinct part from find_sort \
     where part >= $1 and part < $2 and products > 0 order by part limit $3) s \
     join find_shown n on md5(n.folded) = md5(s.part) order by s.part";
pub(in crate::rows) const MAKERS_BEGUN: &str = "select n.shown from (select distinct maker from find_sort \
     where maker >= $1 and maker < $2 and products > 0 order by maker limit $3) s \
     join find_shown n on md5(n.folded) = md5(s.maker) order by s.maker";
pub(in crate::rows) const OVER: &str = "select d.dossier, x.name, t.day, t.value, t.uncertainty from find_trait t \
     join find_dossier d on d.seq = t.seq join dossier x on x.id = d.dossier \
     where t.kind = $1 and not x.withdrawn order by t.day desc, t.seq desc limit $2";
pub(in crate::rows) const OVER_CLASS: &str = "select d.dossier, x.name, t.day, t.value, t.uncertainty from find_trait t \
     join find_dossier d on d.seq = t.seq join dossier x on x.id = d.dossier \
     where t.kind = $1 and md5(t.class) = md5($2) and not x.withdrawn order by t.day desc, t.seq desc limit $3";
pub(in crate::rows) const CLASSES: &str = "select n.shown, c.n from (select class, count(*) as n from find_product \
     where class <> '' group by class order by n desc, class limit $1) c \
     join find_shown n on md5(n.folded) = md5(c.class) order by c.n desc, c.class";
pub(in crate::rows) const NEW_SHOWN: &str = "insert into find_shown (folded, shown) \
     select value ->> 0, value ->> 1 from json_array_elements($1::json) on conflict do nothing";
pub(in crate::rows) const NEW_TRAITS: &str = "insert into find_trait (kind, day, class, value, uncertainty, seq) \
     select value ->> 0, (value ->> 1)::bigint, value ->> 2, (value ->> 3)::double precision, \
     (value ->> 4)::double precision, $1 from json_array_elements($2::json)";
