-- Who may use a library that is served to others, and who is logged in. Of a password its argon2id hash is kept, of what
-- a browser shows for it the SHA-256; neither leads back.
create table person (
    folded text primary key,
    name text not null,
    role text not null,
    password text not null,
    made bigint not null
);

create table session (
    digest text primary key,
    person text not null references person (folded),
    until bigint not null
);
create index session_of on session (person);
