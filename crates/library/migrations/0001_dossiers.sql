-- Written so that SQLite and PostgreSQL take it alike: ids are made by the program, times are microseconds
-- since 1970-01-01 UTC, texts of dossiers are deflated (zlib) and carry the SHA-256 of what they inflate to.

create table dossier (
    id text primary key,
    name text not null,
    maker text not null,
    revision bigint not null,
    made bigint not null,
    changed bigint not null,
    withdrawn boolean not null
);
create index dossier_by_change on dossier (withdrawn, changed desc, id);

create table revision (
    dossier text not null references dossier (id),
    number bigint not null,
    made bigint not null,
    author text not null,
    client text,
    belongs text,
    undoes bigint,
    edits text not null,
    inverse text not null,
    body bytea not null,
    sha256 text not null,
    primary key (dossier, number)
);

create table answer (
    dossier text not null references dossier (id),
    client text not null,
    seq bigint not null,
    answer text not null,
    primary key (dossier, client, seq)
);

create table untaken (
    dossier text not null references dossier (id),
    number bigint not null,
    made bigint not null,
    author text not null,
    client text not null,
    list text not null,
    why text not null,
    primary key (dossier, number)
);

create table file (
    dossier text not null references dossier (id),
    path text not null,
    sha256 text not null,
    bytes bigint not null,
    width bigint,
    height bigint,
    picture boolean not null,
    primary key (dossier, path)
);
create index file_by_content on file (sha256);
