-- The digest of a verdict's windows and days as they were stored: where a new judging comes to the
-- same, they stay. Null: not known, so they are written anew.
alter table verdict add column parts_sha256 sha256;
