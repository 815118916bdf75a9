//! How SQLite means to answer: questions across products look things up and never read a whole table.

use super::super::Rows;
use super::super::engine::Db;
use super::statements::sqlite as sql;

async fn plan(statement: &str, bound: usize) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    let rows = Rows::sqlite(&folder.path().join("rows.sqlite"))
        .await
        .expect("new tables");
    #[allow(
        irrefutable_let_patterns,
        reason = "there is another database with the feature `team`"
    )]
    let Db::Lite(pool) = &rows.read else {
        panic!("the tables lie in SQLite");
    };
    let explained = format!("explain query plan {statement}");
    let mut query = sqlx::query_as(sqlx::AssertSqlSafe(explained));
    for _ in 0..bound {
        query = query.bind("");
    }
    let lines: Vec<(i64, i64, i64, String)> = query.fetch_all(pool).await.expect("a plan");
    lines.into_iter().map(|line| line.3).collect()
}

/// Holds that nothing is read whole but `whole`, and that every one of `by` is used.
async fn check(statement: &str, bound: usize, whole: &[&str], by: &[&str]) {
    let plan = plan(statement, bound).await;
    for line in plan.iter().filter(|line| line.starts_with("SCAN")) {
        assert!(whole.iter().any(|w| line.contains(w)), "{line}\n{plan:#?}");
    }
    for index in by {
        assert!(
            plan.iter().any(|line| line.contains(index)),
            "{index}\n{plan:#?}"
        );
    }
}

#[tokio::test]
async fn what_a_maker_supplies_is_read_off_its_index() {
    let by = [
        "find_sort_supplied (maker=?",
        "dossier_by_change (withdrawn=?)",
        "g USING PRIMARY KEY (sort=? AND seq=?)",
    ];
    check(sql::SUPPLIED, 2, &[], &by).await;
}

#[tokio::test]
async fn names_are_read_off_the_sorted_ends_of_theirs() {
    check(sql::PARTS_BEGUN, 3, &["SCAN s"], &["(part>? AND part<?)"]).await;
    check(
        sql::MAKERS_BEGUN,
        3,
        &["SCAN s"],
        &["(maker>? AND maker<?)"],
    )
    .await;
}

#[tokio::test]
async fn a_figure_over_the_years_is_read_in_its_order() {
    for (statement, bound, by) in [
        (sql::OVER, 2, "t USING PRIMARY KEY (kind=?)"),
        (sql::OVER_CLASS, 3, "find_trait_class (kind=? AND class=?)"),
    ] {
        check(statement, bound, &[], &[by]).await;
        let sorted = plan(statement, bound).await;
        assert!(
            !sorted.iter().any(|line| line.contains("TEMP B-TREE")),
            "{sorted:#?}"
        );
    }
}

#[tokio::test]
async fn products_beside_one_are_looked_up() {
    check(sql::PEERS_OF_CLASS, 2, &[], &["find_product_of (class=?)"]).await;
    check(
        sql::PEERS_WITH,
        2,
        &["SCAN v"],
        &["p USING INTEGER PRIMARY KEY"],
    )
    .await;
    check(sql::PEERS_BY, 2, &[], &["p USING INTEGER PRIMARY KEY"]).await;
    check(sql::HOLDING_PART, 3, &[], &["(part=?)"]).await;
    // In their own order, until there are enough.
    check(sql::PEERS, 1, &["SCAN p"], &[]).await;
    check(sql::LAST_PEER, 1, &["SCAN find_dossier"], &[]).await;
}
