-- What was published of a dossier: which revision as which version, and the files that went out. And what its
-- publisher leaves out of the next publication.
create table publication (
    dossier text not null references dossier (id),
    version bigint not null,
    revision bigint not null,
    made bigint not null,
    author text not null,
    reason text,
    fingerprint text,
    files text not null,
    primary key (dossier, version)
);

create table leaving_out (
    dossier text primary key references dossier (id),
    made bigint not null,
    author text not null,
    what text not null
);
