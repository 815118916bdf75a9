-- The index of a library, in SQLite. It can be made anew from the dossiers; what is taken in, or how texts are folded,
-- changes with a further step that empties it and notes every dossier as behind.
--
-- `seq` is the turn in which a dossier was indexed: what was indexed last stands first, and is read first.

-- Dossiers of which something later is kept than is indexed.
create table find_behind (
    dossier text primary key references dossier (id)
) without rowid;
insert into find_behind select id from dossier;
create trigger find_behind_new after insert on dossier begin
    insert or ignore into find_behind (dossier) values (new.id);
end;
create trigger find_behind_later after update of revision on dossier when new.revision <> old.revision begin
    insert or ignore into find_behind (dossier) values (new.id);
end;

create table find_dossier (
    seq integer primary key,
    dossier text not null unique references dossier (id),
    revision integer not null,
    holds integer not null,
    fails integer not null,
    undecided integer not null,
    needs_evidence integer not null
);
-- What is indexed, whole: deflated JSON. All else follows from it.
create table find_body (
    seq integer primary key references find_dossier (seq),
    body blob not null,
    sha256 text not null
);

-- Words by where they stand; they are folded and taken apart before, so the tokenizer only splits at spaces.
create virtual table find_words using fts5 (
    product, category, part, maker, role, rest,
    content = '', contentless_delete = 1, detail = column, tokenize = 'ascii', prefix = '1 2 3 4'
);

-- What parts there are, each once, and the dossiers that hold them.
create table find_sort (
    id integer primary key,
    part text not null,
    maker text not null,
    role text not null,
    unique (part, maker, role)
);
create index find_sort_by_maker on find_sort (maker);
create virtual table find_sort_words using fts5 (
    part, maker, role,
    content = '', detail = column, tokenize = 'ascii', prefix = '1 2 3 4'
);
create table find_sighting (
    sort integer not null references find_sort (id),
    seq integer not null references find_dossier (seq),
    primary key (sort, seq)
) without rowid;

-- Lines of markings under their first characters, U+0001 standing for any.
create table find_head (
    head text primary key
) without rowid;
create table find_marking (
    head text not null references find_head (head),
    line text not null,
    seq integer not null references find_dossier (seq),
    primary key (head, line, seq)
) without rowid;

-- Ends of figures, as whole numbers in the same order.
create table find_figure (
    kind text not null,
    high integer not null,
    low integer not null,
    seq integer not null references find_dossier (seq),
    primary key (kind, high, low, seq)
) without rowid;
create index find_figure_of on find_figure (seq, kind, high, low);

-- Names of known parts that findings rest on.
create table find_name (
    id integer primary key,
    name text not null unique
);
create table find_rest (
    name integer not null references find_name (id),
    seq integer not null references find_dossier (seq),
    primary key (name, seq)
) without rowid;
