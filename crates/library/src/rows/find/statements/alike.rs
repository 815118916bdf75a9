//! Statements of the index that every database takes.

pub(in crate::rows) const COUNT_BEHIND: &str = "select count(*) from find_behind b join dossier x on x.id = b.dossier \
     where not x.withdrawn";
pub(in crate::rows) const BEHIND: &str = "select b.dossier from find_behind b join dossier x on x.id = b.dossier \
     order by x.changed, x.id";
pub(in crate::rows) const OLD: &str = "select d.seq, d.dossier, d.revision, b.body, b.sha256 from find_dossier d \
     join find_body b on b.seq = d.seq where d.dossier = $1";
pub(in crate::rows) const NEXT_SEQ: &str = "select coalesce(max(seq), 0) + 1 from find_dossier";
pub(in crate::rows) const DONE: &str = "delete from find_behind where dossier = $1 \
     and exists (select 1 from dossier where id = $1 and revision <= $2)";
pub(in crate::rows) const NEW_DOSSIER: &str = "insert into find_dossier \
     (seq, dossier, revision, holds, fails, undecided, needs_evidence) values ($1, $2, $3, $4, $5, $6, $7)";
pub(in crate::rows) const NEW_BODY: &str =
    "insert into find_body (seq, body, sha256) values ($1, $2, $3)";
pub(in crate::rows) const OLD_BODY: &str = "delete from find_body where seq = $1";
pub(in crate::rows) const OLD_DOSSIER: &str = "delete from find_dossier where seq = $1";

pub(in crate::rows) const OLD_PRODUCT: &str = "delete from find_product where seq = $1";
pub(in crate::rows) const OLD_TRAITS: &str = "delete from find_trait where seq = $1";
pub(in crate::rows) const NEW_PRODUCT: &str =
    "insert into find_product (seq, class, day, body, sha256) values ($1, $2, $3, $4, $5)";
pub(in crate::rows) const LAST_PEER: &str =
    "select seq from find_dossier where dossier <> $1 order by seq desc limit 1";
pub(in crate::rows) const COUNT_PRESENT: &str =
    "select count(*) from dossier where not withdrawn and id <> $1";
pub(in crate::rows) const COUNT_PEERS: &str = "select count(*) from find_dossier d join dossier x on x.id = d.dossier \
     where not x.withdrawn and d.dossier <> $1";
