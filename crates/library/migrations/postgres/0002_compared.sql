-- What products are compared by, as `migrations/search/0003_compared.sql` tells.
insert into find_behind select id from dossier on conflict do nothing;
truncate find_word, find_sort_word, find_rest, find_name, find_figure, find_marking, find_head, find_sighting,
    find_sort, find_body, find_dossier;

alter table find_sort add column products bigint not null default 0;
create index find_sort_supplied on find_sort (md5(maker), products desc);
create function find_counted() returns trigger language plpgsql as $$
begin
    if tg_op = 'INSERT' then
        update find_sort set products = products + 1 where id = new.sort;
    else
        update find_sort set products = products - 1 where id = old.sort;
    end if;
    return null;
end
$$;
create trigger find_sighting_counted after insert or delete on find_sighting
    for each row execute function find_counted();

create table find_product (
    seq bigint primary key references find_dossier (seq),
    class text collate "C" not null,
    day bigint,
    body bytea not null,
    sha256 text not null
);
create index find_product_of on find_product (md5(class), seq);

create table find_trait (
    kind text collate "C" not null,
    day bigint not null,
    seq bigint not null references find_dossier (seq),
    class text collate "C" not null,
    value double precision not null,
    uncertainty double precision not null,
    primary key (kind, day, seq)
);
create index find_trait_of on find_trait (seq);
create index find_trait_class on find_trait (kind, md5(class), day);

create table find_shown (
    folded text collate "C" not null,
    shown text not null
);
create unique index find_shown_once on find_shown (md5(folded));
