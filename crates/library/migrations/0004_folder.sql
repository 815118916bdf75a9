-- A dossier that stays in its own folder: the last revision that its text file was known to hold, and when each file
-- was last changed (microseconds since 1970-01-01 UTC) when its digest was taken.
alter table dossier add column settled bigint;
alter table file add column modified bigint;
