//! Every statement that a library sends to its tables, each once, for SQLite and PostgreSQL alike.

/// Takes the dossier's row for writing, if its latest revision is still `$2`.
pub(super) const HOLD: &str =
    "update dossier set revision = revision where id = $1 and revision = $2";
pub(super) const ADVANCE: &str = "update dossier set revision = $3, name = $4, maker = $5, \
     changed = $6 where id = $1 and revision = $2";
pub(super) const WITHDRAW: &str = "update dossier set withdrawn = $2, changed = $3 where id = $1";
/// Takes the dossier's row for writing, if there is one.
pub(super) const TOUCH: &str = "update dossier set revision = revision where id = $1";
pub(super) const SETTLED: &str = "select settled from dossier where id = $1";
pub(super) const SETTLE: &str = "update dossier set settled = $2 where id = $1";
pub(super) const IS_THERE: &str = "select count(*) from dossier where id = $1";

pub(super) const NEW_DOSSIER: &str = "insert into dossier \
     (id, name, maker, revision, made, changed, withdrawn) values ($1, $2, $3, $4, $5, $6, $7)";
pub(super) const HEADS: &str = "select id, name, maker, revision, made, changed, withdrawn \
     from dossier where withdrawn = $1 order by changed desc, id limit $2";
pub(super) const COUNT: &str = "select count(*) from dossier where withdrawn = $1";
pub(super) const HEAD: &str = "select id, name, maker, revision, made, changed, withdrawn \
     from dossier where id = $1";

pub(super) const NEW_REVISION: &str = "insert into revision (dossier, number, made, author, client, \
     belongs, undoes, edits, inverse, body, sha256, origin) \
     values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)";
pub(super) const CURRENT: &str = "select r.number, r.body, r.sha256 from dossier d \
     join revision r on r.dossier = d.id and r.number = d.revision where d.id = $1";
pub(super) const REVISION: &str = "select number, made, author, client, belongs, undoes, edits, inverse, origin \
     from revision where dossier = $1 and number = $2";
pub(super) const TEXT: &str =
    "select number, body, sha256 from revision where dossier = $1 and number = $2";
pub(super) const HISTORY: &str = "select number, made, author, client, belongs, undoes, edits, inverse, origin \
     from revision where dossier = $1 and number < $2 order by number desc limit $3";

pub(super) const NEW_ANSWER: &str = "insert into answer (dossier, client, seq, answer) values ($1, $2, $3, $4) \
     on conflict (dossier, client, seq) do update set answer = excluded.answer";
pub(super) const ANSWER: &str =
    "select answer from answer where dossier = $1 and client = $2 and seq = $3";
pub(super) const ANSWERS: &str =
    "select answer from answer where dossier = $1 order by client, seq";
pub(super) const LAST_SEQ: &str = "select max(seq) from answer where dossier = $1 and client = $2";

pub(super) const NEW_UNTAKEN: &str = "insert into untaken \
     (dossier, number, made, author, client, list, why) select cast($1 as text), count(*) + 1, \
     $2, $3, $4, $5, $6 from untaken where dossier = $1";
pub(super) const UNTAKEN: &str = "select made, author, client, list, why \
     from untaken where dossier = $1 order by number desc";

/// A version that is not one more than the last is not put in.
pub(super) const NEW_PUBLICATION: &str = "insert into publication \
     (dossier, version, revision, made, author, reason, fingerprint, files) \
     select d.id, $2, $3, $4, $5, $6, $7, $8 from dossier d where d.id = $1 and $2 = 1 + \
     (select count(*) from publication p where p.dossier = $1) \
     on conflict (dossier, version) do nothing";
pub(super) const PUBLICATIONS: &str = "select version, revision, made, author, reason, fingerprint, files \
     from publication where dossier = $1 order by version";
pub(super) const LEAVE_OUT: &str = "insert into leaving_out (dossier, made, author, what) values ($1, $2, $3, $4) \
     on conflict (dossier) do update set made = excluded.made, author = excluded.author, what = excluded.what";
pub(super) const LEAVING_OUT: &str = "select what from leaving_out where dossier = $1";

pub(super) const NEW_FILE: &str = "insert into file \
     (dossier, path, sha256, bytes, width, height, picture) values ($1, $2, $3, $4, $5, $6, $7) \
     on conflict (dossier, path) do nothing";
pub(super) const FILE_DIGEST: &str = "select sha256 from file where dossier = $1 and path = $2";
pub(super) const FORGET_FILES: &str = "delete from file where dossier = $1";
pub(super) const DATE_FILE: &str = "update file set modified = $3 where dossier = $1 and path = $2";
pub(super) const DATES: &str = "select path, modified from file where dossier = $1 order by path";
pub(super) const FILES: &str = "select path, sha256, bytes, width, height, picture \
     from file where dossier = $1 order by path";

pub(super) const PEOPLE: &str = "select folded, name, role, password, made from person";
pub(super) const NEW_PERSON: &str = "insert into person (folded, name, role, password, made) \
     values ($1, $2, $3, $4, $5) on conflict (folded) do nothing";
pub(super) const NEW_PASSWORD: &str = "update person set password = $2 where folded = $1";
/// Takes the person's row for writing, if there is one.
pub(super) const HOLD_PERSON: &str = "update person set role = role where folded = $1";
pub(super) const STRIKE: &str = "delete from person where folded = $1";
/// Nothing for a person who was removed meanwhile.
pub(super) const NEW_SESSION: &str = "insert into session (digest, person, until) \
     select $1, p.folded, $3 from person p where p.folded = $2";
pub(super) const FORGET_SESSIONS: &str = "delete from session where until <= $1";
pub(super) const WHOSE: &str = "select p.folded, p.name, p.role, p.password, p.made from session s \
     join person p on p.folded = s.person where s.digest = $1 and s.until > $2";
pub(super) const END_SESSION: &str = "delete from session where digest = $1";
pub(super) const END_SESSIONS: &str = "delete from session where person = $1";
