-- A line of a marking is kept once, whatever number of products has it, and products are named beside it by number: a
-- marking in doubt is held against lines, of which there are few, and sightings take half the room.
create table find_line (
    id integer primary key,
    head text not null,
    line text not null,
    unique (head, line)
);
insert into find_line (head, line) select distinct head, line from find_marking;
create table find_seen (
    line integer not null references find_line (id),
    seq integer not null references find_dossier (seq),
    primary key (line, seq)
) without rowid;
insert into find_seen (line, seq) select l.id, m.seq from find_marking m join find_line l on l.head = m.head and l.line = m.line;
drop table find_marking;
alter table find_seen rename to find_marking;

-- What a maker supplies, the most widespread first, is read in the order in which it is told. Sorts of one maker are
-- found by the same index.
drop index find_sort_supplied;
drop index find_sort_by_maker;
create index find_sort_supplied on find_sort (maker, products desc, part, role);

-- Which of many products came first is told without reading what they are compared by.
create index find_product_day on find_product (seq, day);
