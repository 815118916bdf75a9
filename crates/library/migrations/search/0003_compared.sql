-- What products are compared by: class, day, figures of the whole; how many products each sort of part is in; names as
-- they are written. The index is emptied and made anew.
insert or ignore into find_behind select id from dossier;
delete from find_words;
delete from find_sort_words;
delete from find_rest;
delete from find_name;
delete from find_figure;
delete from find_marking;
delete from find_head;
delete from find_sighting;
delete from find_sort;
delete from find_body;
delete from find_dossier;

-- Products a sort is in, those withdrawn among them.
alter table find_sort add column products integer not null default 0;
create index find_sort_supplied on find_sort (maker, products desc);
create trigger find_sighting_new after insert on find_sighting begin
    update find_sort set products = products + 1 where id = new.sort;
end;
create trigger find_sighting_old after delete on find_sighting begin
    update find_sort set products = products - 1 where id = old.sort;
end;

-- `day` counts from 1 January 1970: the first on sale, or one on which it was there. `body` is deflated JSON.
create table find_product (
    seq integer primary key references find_dossier (seq),
    class text not null,
    day integer,
    body blob not null,
    sha256 text not null
);
create index find_product_of on find_product (class, seq);

create table find_trait (
    kind text not null,
    day integer not null,
    seq integer not null references find_dossier (seq),
    class text not null,
    value real not null,
    uncertainty real not null,
    primary key (kind, day, seq)
) without rowid;
create index find_trait_of on find_trait (seq);
create index find_trait_class on find_trait (kind, class, day);

-- Folded names with the writing that came first.
create table find_shown (
    folded text primary key,
    shown text not null
) without rowid;
