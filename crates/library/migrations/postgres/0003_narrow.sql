-- Lines of markings, what a maker supplies, and days, as `migrations/search/0004_narrow.sql` tells. Lines may be longer
-- than an index takes.
create table find_line (
    id bigint generated always as identity primary key,
    head text collate "C" not null,
    line text collate "C" not null
);
insert into find_line (head, line) select distinct head, line from find_marking;
create unique index find_line_once on find_line (head, md5(line));
create table find_seen (
    line bigint not null references find_line (id),
    seq bigint not null references find_dossier (seq),
    primary key (line, seq)
);
insert into find_seen (line, seq) select l.id, m.seq from find_marking m
    join find_line l on l.head = m.head and md5(l.line) = md5(m.line) on conflict do nothing;
drop table find_marking;
alter table find_seen rename to find_marking;
create index find_marking_of on find_marking (seq);

create index find_product_day on find_product (seq, day);
