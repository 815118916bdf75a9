-- What PostgreSQL needs beside the shared tables: texts in the order of their bytes, as everywhere else, whatever the
-- language of the database; and the index. What the index holds is told in `migrations/search`.

alter table dossier alter column id type text collate "C";
alter table revision alter column dossier type text collate "C";
alter table answer alter column dossier type text collate "C", alter column client type text collate "C";
alter table untaken alter column dossier type text collate "C";
alter table file alter column dossier type text collate "C", alter column path type text collate "C";
alter table publication alter column dossier type text collate "C";
alter table leaving_out alter column dossier type text collate "C";

create table find_behind (
    dossier text collate "C" primary key references dossier (id)
);
insert into find_behind select id from dossier;
create function find_note() returns trigger language plpgsql as $$
begin
    insert into find_behind (dossier) values (new.id) on conflict do nothing;
    return null;
end
$$;
create trigger find_behind_new after insert on dossier
    for each row execute function find_note();
create trigger find_behind_later after update of revision on dossier
    for each row when (new.revision <> old.revision) execute function find_note();

create table find_dossier (
    seq bigint primary key,
    dossier text collate "C" not null unique references dossier (id),
    revision bigint not null,
    holds bigint not null,
    fails bigint not null,
    undecided bigint not null,
    needs_evidence bigint not null
);
create table find_body (
    seq bigint primary key references find_dossier (seq),
    body bytea not null,
    sha256 text not null
);

-- Words by where they stand, at most their first 200 characters.
create table find_word (
    word text collate "C" not null,
    place text collate "C" not null,
    seq bigint not null references find_dossier (seq),
    primary key (word, place, seq)
);
create index find_word_of on find_word (seq);

create table find_sort (
    id bigint generated always as identity primary key,
    part text collate "C" not null,
    maker text collate "C" not null,
    role text collate "C" not null
);
-- Names may be longer than an index takes.
create unique index find_sort_once on find_sort (md5(part), md5(maker), md5(role));
create index find_sort_by_part on find_sort (md5(part));
create index find_sort_by_maker on find_sort (md5(maker));
create table find_sort_word (
    word text collate "C" not null,
    place text collate "C" not null,
    sort bigint not null references find_sort (id),
    primary key (word, place, sort)
);
create table find_sighting (
    sort bigint not null references find_sort (id),
    seq bigint not null references find_dossier (seq),
    primary key (sort, seq)
);
create index find_sighting_of on find_sighting (seq);

create table find_head (
    head text collate "C" primary key
);
create table find_marking (
    head text collate "C" not null references find_head (head),
    line text collate "C" not null,
    seq bigint not null references find_dossier (seq)
);
create index find_marking_by_head on find_marking (head);
create index find_marking_of on find_marking (seq);

create table find_figure (
    kind text collate "C" not null,
    high bigint not null,
    low bigint not null,
    seq bigint not null references find_dossier (seq)
);
create index find_figure_of on find_figure (seq);

create table find_name (
    id bigint generated always as identity primary key,
    name text collate "C" not null
);
create unique index find_name_once on find_name (md5(name));
create table find_rest (
    name bigint not null references find_name (id),
    seq bigint not null references find_dossier (seq),
    primary key (name, seq)
);
create index find_rest_of on find_rest (seq);
