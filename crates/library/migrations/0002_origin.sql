-- Where a revision came from: made here, brought with an import, or made by another program on the text itself.
alter table revision add column origin text;
