-- Beginnings of three and four letters are found among the words themselves: few words begin so, and keeping them apart
-- took half the room of all words. The words are kept nowhere else, so the index is emptied and made anew.
insert or ignore into find_behind select id from dossier;
delete from find_rest;
delete from find_name;
delete from find_figure;
delete from find_marking;
delete from find_head;
delete from find_sighting;
delete from find_sort;
delete from find_body;
delete from find_dossier;
drop table find_words;
drop table find_sort_words;
create virtual table find_words using fts5 (
    product, category, part, maker, role, rest,
    content = '', contentless_delete = 1, detail = column, tokenize = 'ascii', prefix = '1 2'
);
create virtual table find_sort_words using fts5 (
    part, maker, role,
    content = '', detail = column, tokenize = 'ascii', prefix = '1 2'
);
