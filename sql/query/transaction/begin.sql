-- Begin a transaction.
-- returns nothing
begin;
