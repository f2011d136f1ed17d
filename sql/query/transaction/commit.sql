-- Commit the transaction.
-- returns nothing
commit;
